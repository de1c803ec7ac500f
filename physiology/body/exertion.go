package body

import (
	"math"

	"kilopond/physiology/unit"
)

// exertion is the rating that the person feels, before rounding: it follows heart-rate reserve, and oxygen debt beyond that.
//
// Whose threshold lies high rates the same reserve lower, since ratings agree better at the threshold than at a share of the reserve.
//
// Source: [SCHERR2013]; the curve and its differences between people [CHOICE-RPE].
func (b *Body) exertion() float64 {
	t := &b.traits
	rest := float64(t.RestHR)
	h := max(0, (b.hr-rest)/(float64(t.TrueMaxHR)-rest))
	h = float64(h * b.recalled)
	own := t.RPEBias + float64(10*(0.58-t.Threshold)) + b.day.RPEShift + b.mood + float64(t.RPETilt*(h-0.55))
	r := 6.4 + float64(12.2*h1375(h)) + float64(min(1, float64(5*h))*own) // nobody is of another mind than the rest about sitting still
	r = max(r, 6.4+float64(4*h))                                          // nor feels nothing of work
	if owed := b.strain(); owed > 0.1 {
		spent := min(1, owed/0.7) // who has nothing left says so, whatever their line
		limit := max(14+float64(5*spent)+float64((1-float64(0.5*spent))*own), 12+float64(7*spent))
		r = max(r, float64(b.recalled*limit))
	}
	for _, m := range b.ills {
		r = m.effort(b, r)
	}
	return grid(min(max(r, 6), 20))
}

// ponder moves what a rating rests on beside the heart rate: the person's mood, which wanders by half a minute with an SD of 0.6 ratings, and how much
// of an effort is recalled, which after it fades within half a minute to three fifths: faster than the heart slows. Source: [CHOICE-RPE].
func (b *Body) ponder(chance float64) {
	if b.watts > 0 {
		b.recalled = least(b.recalled, float64(b.recalled*0.7)+0.3)
	} else {
		b.recalled += float64((0.6 - b.recalled) * 0.1)
	}
	b.mood = float64(moodKeep*b.mood) + float64(moodStep*chance)
}

// moodKeep is exp(−1/35), and moodStep gives the SD. Source: [CHOICE-RPE].
const moodKeep, moodStep = 0.9718328750329811, 0.1414

// h1375 is h to the power of 1.375 by square roots, which are exact everywhere; the curve was set with 1.35, at most 0.1 of a rating away.
func h1375(h float64) float64 {
	quarter := sqrt(sqrt(h))
	return h * quarter * sqrt(quarter)
}

// Exertion returns the rating from 6 to 20 that the person would point at now.
func (b *Body) Exertion() unit.RPE { return unit.RPE(math.Round(b.exertion())) }
