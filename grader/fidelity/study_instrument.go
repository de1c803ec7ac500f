package fidelity

import (
	"fmt"
	"math"

	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// countOf counts perfect beats of an even heart for 10 s from a random moment: the distance of six times the count from the rate.
func countOf(seed scenarios.Seed) record {
	r := seed.Stream("fidelity/count")
	hr := 90 + 70*r.Float64()
	beats := 0
	for at := 60 / hr * r.Float64(); at < 10; at += 60 / hr {
		beats++
	}
	return record{math.Abs(6*float64(beats) - hr)}
}

// observersOf lets ten trained observers, each with a hand of their own on the valve (2 to 3 mmHg/s), read the same person's systolic pressure
// one after another within a rest: the variance of what they read.
func observersOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	r := mount(p, 1)
	r.sit(300)
	hand := seed.Stream("fidelity/hands")
	var read []float64
	for i := range 10 {
		s, ok := r.listen(p, fmt.Sprint(i), 2+hand.Float64())
		if !ok {
			return nil
		}
		read = append(read, float64(s.Systolic))
	}
	s := sdOf(read)
	return record{s * s}
}

// caffeineOf rides the second stage with and without 3 mg/kg in the same person on the same day: the change of heart rate.
func caffeineOf(seed scenarios.Seed) record {
	p := general(18, 45).Draw(seed)
	dose := []body.Ill{{Caffeine: &body.Caffeine{Dose: body.Span{Low: 3, High: 3}}}}
	plain, with := p, p
	day := p.Day(1)
	body.Alter(&with.Traits, &day, dose, seed.Stream("fidelity/caffeine"))
	ride := func(t body.Traits, d body.Day) float64 {
		b := body.New(t, d, nil, seed.Stream("fidelity/ill"), seed.Stream("fidelity/noise"))
		r := &rider{*b, t}
		all := r.stages(240, 0.9, halves()[:3])
		if len(all) < 3 {
			return nan
		}
		return all[2].hr
	}
	return record{ride(with.Traits, day) - ride(plain.Traits, p.Day(1))}
}

// drugOf is the fall of true maximum heart rate, in percent, by a full dose of a drug that slows the heart.
func drugOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	with, day := p.Traits, p.Day(1)
	body.Alter(&with, &day, []body.Ill{{Drug: &body.Drug{Kind: "rate_slowing", Dose: &body.Span{Low: 1, High: 1}}}}, seed.Stream("fidelity/drug"))
	return record{100 * (1 - float64(with.TrueMaxHR)/float64(p.Traits.TrueMaxHR))}
}

func instrumentMeasures() []measure {
	return []measure{
		{"I01", "count", mean(0, nil)},
		{"I03", "observers", func(all []record) float64 { return math.Sqrt(meanOf(column(all, 0, nil))) }},
		{"M01", "caffeine", mean(0, nil)},
		{"M04", "drug", mean(0, nil)},
	}
}
