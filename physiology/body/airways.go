package body

import "math/rand/v2"

// Bronchospasm is airways that narrow some minutes into the work, or soon after it: a cough, then a whistle, then few words to a breath.
// Source: [CHOICE-MECHANISMS].
type Bronchospasm struct {
	Onset Span `json:"onset_min" yaml:"onset_min"` // minutes of work
}

func (Bronchospasm) name() string { return "bronchospasm" }

func (a Bronchospasm) check() []string { return inside(nil, "onset_min", a.Onset, 1, 20) }

func (a Bronchospasm) start(_ Traits, r *rand.Rand) mechanism {
	return &bronchospasm{onset: 60 * a.Onset.draw(r), narrow: ache{ease: easeSlow}}
}

type bronchospasm struct {
	healthy
	onset  float64 // s of work
	worked float64
	still  float64 // s since the work stopped
	narrow ache
}

// wheezeTail is how long after stopping it still grows, wheezeMild the level it may reach when it comes only then. Source: [CHOICE-MECHANISMS].
const wheezeTail, wheezeMild = 180, 2.4

func (a *bronchospasm) after(b *Body) {
	switch {
	case b.working():
		a.worked++
		a.still = 0
		if a.worked > a.onset {
			a.narrow.grow(1.0 / 80)
		}
	case a.worked > 180 && a.still < wheezeTail:
		a.still++
		if a.worked > a.onset || a.still > 60 && a.narrow.level < wheezeMild {
			a.narrow.grow(1.0 / 160)
		}
	default:
		a.narrow.rest()
	}
}

func (a *bronchospasm) effort(_ *Body, rating float64) float64 {
	return rating + float64(0.9*a.narrow.level)
}

func (a *bronchospasm) heart(_ *Body, bpm float64) float64 {
	return bpm + float64(2*a.narrow.level)
}

func (a *bronchospasm) symptoms(_ *Body, dst []Symptom) []Symptom {
	g := a.narrow.grade()
	if g >= 1 {
		dst = append(dst, Symptom{Wheeze, g, Found}, Symptom{Wheeze, g, Seen})
	}
	if g >= 2 {
		dst = append(dst, Symptom{Breathless, g - 1, Found}, Symptom{Breathless, g - 1, Seen})
	}
	if g >= 3 {
		dst = append(dst, Symptom{Wheeze, g, Unasked})
	}
	return dst
}
