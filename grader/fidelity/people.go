package fidelity

import (
	"math"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// nan stands in a record for what a person does not come to.
var nan = math.NaN()

// from returns the people of a mix.
func from(mix scenarios.Mix, low, high int, sexes ...unit.Sex) scenarios.Population {
	p, err := scenarios.NewPopulation(mix, sexes, low, high)
	if err != nil {
		panic("fidelity: " + err.Error())
	}
	return p
}

// general are the unscreened, as most rows ask for.
func general(low, high int, sexes ...unit.Sex) scenarios.Population {
	return from(scenarios.General, low, high, sexes...)
}

// A rider is one person's body at work.
type rider struct {
	body.Body
	traits body.Traits
}

// mount returns the body of a person on a day, with nothing wrong: what is published is of the healthy.
func mount(p scenarios.Person, day int) *rider {
	r := &rider{traits: p.Traits}
	p.Ills = nil
	p.Begin(&r.Body, day)
	return r
}

// sit rests on a chair for some seconds.
func (r *rider) sit(seconds int) {
	for range seconds {
		r.Step(body.Setting{Posture: body.Chair})
	}
}

// ride pedals at 50 rpm; each is called every second.
func (r *rider) ride(seconds int, kp unit.Resistance, each func(body.State)) {
	set := body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: 50, Resistance: kp}
	for range seconds {
		r.Step(set)
		if each != nil {
			each(r.Now())
		}
	}
}

// still sits on the cycle without pedalling.
func (r *rider) still(seconds int, each func(body.State)) {
	for range seconds {
		r.Step(body.Setting{Posture: body.OnCycle})
		if each != nil {
			each(r.Now())
		}
	}
}

// load is the resistance at 50 rpm that asks for an oxygen uptake, leaving the slow component out; never below 0.
func load(t body.Traits, vo2 float64) unit.Resistance {
	watts := max(0, (vo2-float64(t.VO2Rest)-float64(t.UnloadedCost))/t.O2Cost)
	return (unit.WorkRate(watts) * unit.Watt).Resistance(50)
}

// reserve is the oxygen uptake at a fraction of the reserve.
func reserve(t body.Traits, x float64) float64 {
	return float64(t.VO2Rest) + x*float64(t.VO2Max-t.VO2Rest)
}

// A steady is one stage: what was so over its last 15 s.
type steady struct{ watts, hr, vo2, sbp, demand float64 }

// stages rides one resistance after another, each for some seconds, while the work asks for less than most of the reserve.
func (r *rider) stages(seconds int, most float64, loads []unit.Resistance) (all []steady) {
	for _, kp := range loads {
		r.ride(seconds-15, kp, nil)
		if r.Now().Demand > most {
			break
		}
		var s steady
		r.ride(15, kp, func(n body.State) {
			s.watts += n.WorkRate.Watts() / 15
			s.hr += float64(n.HR) / 15
			s.vo2 += float64(n.VO2) / 15
		})
		s.sbp, s.demand = float64(r.Now().SBP), r.Now().Demand
		all = append(all, s)
	}
	return all
}

// halves are the loads 0.5, 1, 1.5 … 7 kp: 25 W apart.
func halves() (loads []unit.Resistance) {
	for kp := unit.Resistance(0.5); kp <= 7; kp += 0.5 {
		loads = append(loads, kp)
	}
	return loads
}

// female is 1 or 0, for a record.
func female(t body.Traits) float64 {
	if t.Sex == unit.Female {
		return 1
	}
	return 0
}

// tauOf fits one exponential to the rise after a step, from its first value on, by least squares over time constants of 10 to 200 s.
func tauOf(y []float64) float64 {
	best, least := 0.0, math.Inf(1)
	for tau := 10.0; tau <= 200; tau++ {
		keep, left := math.Exp(-1/tau), 1.0
		var uy, uu, yy float64
		for i := range y {
			if i > 0 {
				left *= keep
			}
			u, d := 1-left, y[i]-y[0]
			uy, uu, yy = uy+u*d, uu+u*u, yy+d*d
		}
		if sum := yy - uy*uy/uu; sum < least {
			best, least = tau, sum
		}
	}
	return best
}
