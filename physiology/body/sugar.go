package body

import "math/rand/v2"

// LowSugar is blood sugar that runs out some minutes into the work: shaking and a cold sweat, then answers that do not fit. It holds for a
// while after the work, and then eases slowly: whoever ends such a test gives something sweet. Source: [CHOICE-MECHANISMS].
type LowSugar struct {
	Onset Span `json:"onset_min" yaml:"onset_min"` // minutes of pedalling
}

func (LowSugar) name() string { return "low_sugar" }

func (l LowSugar) check() []string { return inside(nil, "onset_min", l.Onset, 1, 30) }

func (l LowSugar) start(_ Traits, r *rand.Rand) mechanism {
	return &lowSugar{onset: 60 * l.Onset.draw(r), lack: ache{ease: easeSlow}}
}

type lowSugar struct {
	healthy
	onset, worked float64 // s
	still         int     // s since the pedals stopped
	lack          ache
}

// sugarS is how long it holds after the work. Source: [CHOICE-MECHANISMS].
const sugarS = 120

func (l *lowSugar) after(b *Body) {
	if b.last.Pedalling && !b.stopped {
		l.still = 0
		l.worked++
		if l.worked > l.onset {
			l.lack.grow(1.0 / 75)
		}
		return
	}
	if l.still++; l.still > sugarS {
		l.lack.rest()
	}
}

func (l *lowSugar) heart(_ *Body, bpm float64) float64 { return bpm + float64(3*l.lack.level) }

func (l *lowSugar) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(6*max(0, l.lack.level-2.5))
}

func (l *lowSugar) symptoms(_ *Body, dst []Symptom) []Symptom {
	g := l.lack.grade()
	if g >= 1 {
		dst = append(dst, Symptom{Shaky, g, Found}, Symptom{Shaky, g, Seen}, Symptom{ColdSweat, g, Seen})
	}
	if g >= 2 {
		dst = append(dst, Symptom{Confused, g - 1, Found}, Symptom{Confused, g - 1, Seen}, Symptom{Confused, g - 1, Unasked})
	}
	return dst
}
