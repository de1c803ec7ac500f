package body

import (
	"math"

	"kilopond/physiology/unit"
)

// exertion is the rating that the person feels, before rounding: it follows heart-rate reserve, and oxygen debt beyond that.
//
// Source: [SCHERR2013]; the curve [CHOICE-RPE].
func (b *Body) exertion() float64 {
	t := &b.traits
	rest := float64(t.RestHR)
	h := max(0, (b.hr-rest)/(float64(t.TrueMaxHR)-rest))
	if b.watts == 0 {
		h = float64(h * 0.6) // effort is forgotten faster than the heart slows
	}
	mood := float64(0.85 * sine(float64(0.0137*float64(b.second))+b.traits.HRTauZ)) // SD 0.6 about the person's own line
	r := 6.4 + float64(12.2*h1375(h)) + t.RPEBias + b.day.RPEShift + mood
	if owed := b.strain(); owed > 0.1 && b.watts > 0 {
		r = max(r, 14+float64(6*min(1, owed/0.7)))
	}
	for _, m := range b.ills {
		r = m.effort(b, r)
	}
	return grid(min(max(r, 6), 20))
}

// h1375 is h to the power of 1.375 by square roots, which are exact everywhere; the curve was set with 1.35, at most 0.1 of a rating away.
func h1375(h float64) float64 {
	quarter := sqrt(sqrt(h))
	return h * quarter * sqrt(quarter)
}

// Exertion returns the rating from 6 to 20 that the person would point at now.
func (b *Body) Exertion() unit.RPE { return unit.RPE(math.Round(b.exertion())) }
