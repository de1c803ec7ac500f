package fidelity

import (
	"math"
	"slices"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A listener takes pressures of one person at rest.
func (r *rider) listen(p scenarios.Person, label string, valve float64) (instrument.Sounds, bool) {
	heard := p.Stream("cuff/"+label, 1)
	for pump := unit.Pressure(180); pump <= instrument.MaxPump; pump += 40 {
		var c instrument.Cuff
		c.Start(heard, pump, valve, r.Now().T, false, instrument.FittingCuff(p.Traits.Arm), p.Traits.Arm)
		for s := 0; s < 400; s++ {
			if c.Second(r.Step(body.Setting{Posture: body.Chair})) {
				break
			}
		}
		if s := instrument.ReadSounds(c.Top(), valve, c.Heard()); s.Any && !s.HeardAtOnce && float64(s.Systolic) < float64(c.Top())-6 {
			return s, true
		}
	}
	return instrument.Sounds{}, false
}

// visitOf takes three pressures a minute apart after five minutes of rest: the variance of the systolic readings.
func visitOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	r := mount(p, 1)
	r.sit(300)
	var read []float64
	for _, label := range []string{"first", "second", "third"} {
		s, ok := r.listen(p, label, 2.5)
		if !ok {
			return nil
		}
		read = append(read, float64(s.Systolic))
		r.sit(60)
	}
	s := sdOf(read)
	return record{s * s}
}

// spent says whether the person has asked to stop, or has stopped.
func (r *rider) spent() bool {
	return slices.ContainsFunc(r.Symptoms(), func(y body.Symptom) bool { return y.Sign == body.AskedToStop })
}

// peakOf rides one-minute steps of 12.5 W until the person asks to stop: the highest systolic pressure, the change of diastolic to there, the systolic three
// minutes after stopping over that peak, the peak over the highest watts at the end of a minute, and those watts over the ones that a man's age and
// height predict, over those of people who are active in sport; the watts, and those that height, age and sex predict.
func peakOf(seed scenarios.Seed) record {
	p := from(scenarios.Volunteers, 18, 79).Draw(seed)
	r := mount(p, 1)
	r.sit(300)
	rest := r.Now()
	top, most := rest, 1.0
	for kp := unit.Resistance(0.25); kp <= 7 && !r.spent(); kp += 0.25 {
		r.ride(60, kp, nil)
		if r.Now().SBP > top.SBP {
			top = r.Now()
		}
		most = max(most, r.Now().WorkRate.Watts())
	}
	r.still(180, nil)
	return record{female(p.Traits), float64(p.Traits.Age), float64(top.SBP), float64(top.DBP - rest.DBP), float64(r.Now().SBP) / float64(top.SBP),
		float64(top.SBP) / most, most / wohlfart(p.Traits), most / sporting(p.Traits), most, jones(p.Traits)}
}

// sporting are the highest watts predicted for people over 40 who are active in sport; not a number for others. Source: row E02.
func sporting(t body.Traits) float64 {
	if !t.Active || t.Age <= 40 {
		return nan
	}
	return 65.3*(1-female(t)) + 2*float64(t.Height) - 1.9*float64(t.Age) - 67.9
}

// jones are the highest watts predicted for somebody of a height that the source saw; not a number for others. Source: row E04.
func jones(t body.Traits) float64 {
	low, high := 165.0, 194.0
	if t.Sex == unit.Female {
		low, high = 152, 176
	}
	if h := float64(t.Height); h < low || h > high {
		return nan
	}
	return float64(unit.WorkRate(20.4*float64(t.Height) - 8.74*float64(t.Age) - 288*female(t) - 1909).Watts())
}

// stagePressureOf is sex and the systolic pressure at the end of three minutes at 100 W in a man, at 50 W in a woman.
func stagePressureOf(seed scenarios.Seed) record {
	p := from(scenarios.Volunteers, 18, 64).Draw(seed)
	all, at := mount(p, 1).stages(180, 0.95, halves()), 3
	if female(p.Traits) == 1 {
		at = 1
	}
	if len(all) <= at {
		return nil
	}
	return record{female(p.Traits), all[at].sbp}
}

// wohlfart are the highest watts predicted for a man. Source: row E01.
func wohlfart(t body.Traits) float64 {
	return (244.6*float64(t.Height)/100 - 92.1) / (1 + math.Exp(0.038*(float64(t.Age)-77.3)))
}

// olderLess is the mean of a column of those of an age or over, to 70, less that of the younger, from 21.
func olderLess(c int, age float64, sex func(record) bool) func([]record) float64 {
	return func(all []record) float64 {
		older := func(r record) bool { return sex(r) && r[1] >= age && r[1] <= 70 }
		younger := func(r record) bool { return sex(r) && r[1] < age && r[1] >= 21 }
		return meanOf(column(all, c, older)) - meanOf(column(all, c, younger))
	}
}

// quotient is the mean of one column over that of another, of those who have both.
func quotient(a, b int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 {
		x, y := pair(all, a, b, keep)
		return meanOf(x) / meanOf(y)
	}
}

// oldestLess is the 90th percentile of peak systolic pressure from 70 years on, less that of people under 30, from 20.
func oldestLess(sex func(record) bool) func([]record) float64 {
	return func(all []record) float64 {
		return quantileOf(0.9, column(all, 2, aged(sex, 70, 79))) - quantileOf(0.9, column(all, 2, aged(sex, 20, 29)))
	}
}

func pressureMeasures() []measure {
	man := func(r record) bool { return r[0] == 0 }
	woman := func(r record) bool { return r[0] == 1 }
	return []measure{
		{"R12", "visit", func(all []record) float64 { return math.Sqrt(meanOf(column(all, 0, nil))) }},
		{"B04", "peak", mean(2, man)},
		{"B05", "peak", mean(2, woman)},
		{"B06", "peak", median(3, nil)},
		{"B07", "peak", sd(2, man)},
		{"B08", "peak", sd(2, woman)},
		{"B09", "peak", mean(4, nil)},
		{"B10", "peak", mean(5, man)},
		{"B11", "peak", mean(5, woman)},
		{"B13", "peak", slope(1, 2, man)},
		{"B14", "peak", olderLess(2, 50, man)},
		{"B15", "peak", olderLess(2, 60, woman)},
		{"B16", "peak", func(all []record) float64 { return meanOf(column(all, 2, man)) - meanOf(column(all, 2, woman)) }},
		{"B17", "peak", oldestLess(man)},
		{"B18", "peak", oldestLess(woman)},
		{"B20", "stage pressures", mean(1, man)},
		{"B21", "stage pressures", mean(1, woman)},
		{"E04", "peak", quotient(8, 9, aged(man, 18, 71))},
		{"E05", "peak", quotient(8, 9, aged(woman, 18, 71))},
		{"E01", "peak", mean(6, func(r record) bool { return man(r) && r[1] >= 20 })},
		{"E02", "peak", mean(7, func(r record) bool { return man(r) && r[1] <= 60 && !math.IsNaN(r[7]) })},
		{"E03", "peak", mean(7, func(r record) bool { return woman(r) && r[1] <= 60 && !math.IsNaN(r[7]) })},
	}
}
