package body

import "kilopond/physiology/unit"

// An ache is a level from 0 to 4 that grows under a cause and eases without it.
type ache struct {
	level float64
	ease  float64 // share of the level left after a second without the cause
}

// grow adds to the level, at most to 4.
func (a *ache) grow(by float64) { a.level = min(a.level+by, 4) }

// rest lets it ease for a second.
func (a *ache) rest() { a.level = float64(a.level * a.ease) }

// spoken adds a sign of a grade that is first found by asking, then seen, then said. Source: [CHOICE-SIGNS].
func spoken(sign Sign, grade int, dst []Symptom) []Symptom {
	if grade >= 1 {
		dst = append(dst, Symptom{sign, grade, Found})
	}
	if grade >= 2 {
		dst = append(dst, Symptom{sign, grade, Seen})
	}
	if grade >= 3 {
		dst = append(dst, Symptom{sign, grade, Unasked})
	}
	return dst
}

// working says whether the legs are at work of their own accord.
func (b *Body) working() bool { return b.last.Pedalling && !b.stopped && b.watts > 0 }

// asked is the work rate that the dial and the metronome ask for, whatever rhythm the legs can keep: what hurts is hurt by the load on the
// pedals, and pain that costs rhythm does not end itself.
func (b *Body) asked() unit.WorkRate {
	rpm := b.last.Metronome
	if rpm == 0 {
		rpm = unit.Cadence(b.traits.OwnCadence)
	}
	return b.last.Resistance.WorkRate(rpm)
}

// easeSlow is exp(−1/480): from grade 2 or 3 it is gone in six to nine minutes. Source: [OPHEY2024].
const easeSlow = 0.9979188352992993
