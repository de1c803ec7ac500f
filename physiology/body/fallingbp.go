package body

import "math/rand/v2"

// FallingBP is a systolic pressure that falls while work rises: above an onset the heart no longer keeps up.
//
// Source: [BENARI1990] that it happens; [ACSM8] what it means for a test; rate of fall and signs [CHOICE-FALL].
type FallingBP struct {
	Onset Span `json:"onset_vo2_reserve" yaml:"onset_vo2_reserve"`     // fraction of VO2 reserve
	Fall  Span `json:"fall_mmhg_per_tenth" yaml:"fall_mmhg_per_tenth"` // mmHg for each 0.1 of reserve above the onset
}

func (FallingBP) name() string { return "pressure_fall" }

func (f FallingBP) check() []string {
	faults := inside(nil, "onset_vo2_reserve", f.Onset, 0.2, 0.9)
	return inside(faults, "fall_mmhg_per_tenth", f.Fall, 5, 60)
}

func (f FallingBP) start(_ Traits, r *rand.Rand) mechanism {
	return &fallingBP{onset: f.Onset.draw(r), perTenth: f.Fall.draw(r)}
}

type fallingBP struct {
	healthy
	onset, perTenth float64
	lost            float64 // mmHg below what a healthy person would have
}

// fallKeep and riseKeep are exp(−1/30) and exp(−1/60). Source: [CHOICE-FALL].
const fallKeep, riseKeep = 0.9672161004820059, 0.9834714538216174

func (f *fallingBP) after(b *Body) {
	level := min(90, max(0, float64((b.x-f.onset)*10*f.perTenth)))
	keep := fallKeep
	if level < f.lost {
		keep = riseKeep
	}
	f.lost = level + float64((f.lost-level)*keep)
}

func (f *fallingBP) pressure(_ *Body, sbp, dbp float64) (float64, float64) {
	return max(sbp-f.lost, 62), max(dbp-float64(0.15*f.lost), 40)
}

func (f *fallingBP) symptoms(_ *Body, dst []Symptom) []Symptom {
	switch {
	case f.lost >= 62:
		return append(dst, Symptom{PressureFall, 4, Found}, Symptom{Pallor, 3, Seen}, Symptom{Lightheaded, 4, Found}, Symptom{Lightheaded, 4, Unasked})
	case f.lost >= 48:
		return append(dst, Symptom{PressureFall, 3, Found}, Symptom{Pallor, 2, Seen}, Symptom{Lightheaded, 3, Found}, Symptom{Lightheaded, 3, Unasked})
	case f.lost >= 34:
		return append(dst, Symptom{PressureFall, 2, Found}, Symptom{Pallor, 1, Seen}, Symptom{Lightheaded, 2, Found})
	case f.lost >= 20:
		return append(dst, Symptom{PressureFall, 1, Found})
	}
	return dst
}
