package fidelity

import (
	"math"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// recoveryOf rides up to nine tenths of heart-rate reserve and stops dead: fitness (SDs about the norm of age and sex) and the fall of heart rate
// in the first minute.
func recoveryOf(seed scenarios.Seed) record {
	p := general(18, 45).Draw(seed)
	r, t := mount(p, 1), p.Traits
	part := func() float64 { return float64(r.Now().HR-t.RestHR) / float64(t.TrueMaxHR-t.RestHR) }
	for _, kp := range halves() {
		if part() >= 0.93 {
			break
		}
		r.ride(90, kp, nil)
	}
	if part() < 0.88 {
		return nil
	}
	at := r.Now().HR
	r.still(60, nil)
	return record{t.FitnessZ, float64(at - r.Now().HR)}
}

// afterMaxOf rides one-minute steps until the person asks to stop, and sits still: age and the fall of heart rate in two minutes.
func afterMaxOf(seed scenarios.Seed) record {
	p := general(20, 49).Draw(seed)
	r := mount(p, 1)
	for kp := unit.Resistance(0.5); kp <= 7 && !r.spent(); kp += 0.5 {
		r.ride(60, kp, nil)
	}
	at := r.Now().HR
	r.still(120, nil)
	return record{float64(p.Traits.Age), float64(at - r.Now().HR)}
}

// atMaxOf warms up an active young man for five minutes at a third of the load that asks for VO2max, and puts that load on: the seconds until he asks to
// stop.
func atMaxOf(seed scenarios.Seed) record {
	p := from(scenarios.Volunteers, 18, 39, unit.Male).Draw(seed)
	if !p.Traits.Active {
		return nil
	}
	r := mount(p, 1)
	kp := load(p.Traits, float64(p.Traits.VO2Max))
	r.ride(300, kp/3, nil)
	for seconds := 0; ; seconds++ {
		if r.spent() || seconds == 1200 {
			return record{float64(seconds)}
		}
		r.ride(1, kp, nil)
	}
}

// firstSecondsOf brings an active young adult to 80 % of maximum heart rate and stops dead: how far the mean of the first 15 s lies below.
func firstSecondsOf(seed scenarios.Seed) record {
	p := general(18, 34).Draw(seed)
	if !p.Traits.Active {
		return nil
	}
	r := mount(p, 1)
	for kp := unit.Resistance(0.5); kp <= 7 && r.Now().HR < 0.8*p.Traits.TrueMaxHR; kp += 0.25 {
		r.ride(60, kp, nil)
	}
	if r.Now().HR < 0.78*p.Traits.TrueMaxHR {
		return nil
	}
	at, sum := float64(r.Now().HR), 0.0
	r.still(15, func(n body.State) { sum += float64(n.HR) / 15 })
	return record{at - sum}
}

// beatsOf is RMSSD over five minutes of sitting after three, and over the last two of five minutes at about 60 % of the reserve.
func beatsOf(seed scenarios.Seed) record {
	p := general(25, 45).Draw(seed)
	r := mount(p, 1)
	r.sit(180)
	rest := r.successive(300, body.Setting{Posture: body.Chair})
	kp := load(p.Traits, reserve(p.Traits, 0.6))
	r.ride(180, kp, nil)
	work := r.successive(120, body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: 50, Resistance: kp})
	return record{rest, work}
}

// beatsByAgeOf is age and the natural logarithm of RMSSD over five minutes of sitting after three.
func beatsByAgeOf(seed scenarios.Seed) record {
	p := general(35, 65).Draw(seed)
	r := mount(p, 1)
	r.sit(180)
	return record{float64(p.Traits.Age), math.Log(r.successive(300, body.Setting{Posture: body.Chair}))}
}

// beforeOf is how far the heart rate of a young woman, mean of the fifth minute on the chair before a test, lies above her resting rate.
func beforeOf(seed scenarios.Seed) record {
	p := from(scenarios.Volunteers, 19, 25, unit.Female).Draw(seed)
	r := mount(p, 1)
	r.sit(240)
	sum := 0.0
	for range 60 {
		r.sit(1)
		sum += float64(r.Now().HR) / 60
	}
	return record{sum - float64(p.Traits.RestHR)}
}

// successive is the root mean square of successive differences of the intervals between beats, in ms, over some seconds.
func (r *rider) successive(seconds int, set body.Setting) float64 {
	var last, before, sum, n float64
	for range seconds {
		for _, b := range r.Step(set) {
			at := b.At.Seconds() * 1000
			if last > 0 {
				if before > 0 {
					d := at - last - before
					sum, n = sum+d*d, n+1
				}
				before = at - last
			}
			last = at
		}
	}
	return math.Sqrt(sum / n)
}

// third is where a third of a normal distribution lies beyond, in SDs. Source: [DERIVED-THIRD].
const third = 0.43

func recoveryMeasures() []measure {
	return []measure{
		{"X01", "recovery", mean(1, func(r record) bool { return r[0] < -third })},
		{"X03", "recovery", mean(1, func(r record) bool { return r[0] > third })},
		{"X04", "first seconds", mean(0, nil)},
		{"X05", "beats", mean(0, nil)},
		{"X06", "beats", mean(1, nil)},
		{"X09", "beats by age", func(all []record) float64 {
			return math.Exp(meanOf(column(all, 1, func(r record) bool { return r[0] >= 45 && r[0] <= 54 })))
		}},
		{"X10", "beats by age", func(all []record) float64 {
			return meanOf(column(all, 1, func(r record) bool { return r[0] >= 55 })) - meanOf(column(all, 1, func(r record) bool { return r[0] <= 44 }))
		}},
		{"R16", "before a test", mean(0, nil)},
		{"R17", "before a test", sd(0, nil)},
		{"X07", "after the maximum", mean(1, func(r record) bool { return r[0] < 30 })},
		{"X08", "after the maximum", mean(1, func(r record) bool { return r[0] >= 40 })},
		{"W01", "at the maximum", mean(0, nil)},
	}
}
