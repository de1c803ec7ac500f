package body

import "math/rand/v2"

// LowSugar is blood sugar that runs out some minutes into the work: shaking and a cold sweat, then answers that do not fit. It stays low for
// the visit, since nothing sweet is given in the room: whoever ends such a test sees to it that something is.
//
// Source: [MITRAKOU1991] shaking and sweat from 58 mg/dL, difficulty thinking from 51, tests of thinking worse from 49; [BROZ2021] it falls by
// 0.11 ± 0.03 mmol/L in a minute of moderate cycling (0.07–0.17) and rises again when sugar is eaten.
type LowSugar struct {
	Onset Span `json:"onset_min" yaml:"onset_min"` // minutes of pedalling
}

func (LowSugar) name() string { return "low_sugar" }

func (l LowSugar) check() []string { return inside(nil, "onset_min", l.Onset, 1, 30) }

func (l LowSugar) start(_ Traits, r *rand.Rand) mechanism {
	onset := l.Onset.draw(r)
	fall := within(r, 0.11, 0.03, 0.07, 0.17)
	return &lowSugar{sugar: shakyFrom + float64(fall*onset), fall: fall / 60}
}

type lowSugar struct {
	healthy
	sugar float64 // mmol/L
	fall  float64 // mmol/L in a second of pedalling
}

// shakyFrom and muddledFrom are 58 and 51 mg/dL in mmol/L; each further grade takes sugarGrade; leastSugar is as low as muscles take it within
// an ordinary test. Source: [MITRAKOU1991]; grades [CHOICE-MECHANISMS].
const (
	shakyFrom, muddledFrom = 3.22, 2.83
	sugarGrade             = 0.22
	leastSugar             = 1.8
)

func (l *lowSugar) after(b *Body) {
	if b.last.Pedalling && !b.stopped {
		l.sugar = least(l.sugar-l.fall, leastSugar)
	}
}

// lack is 0 at the first shaking and 4 as low as it gets.
func (l *lowSugar) lack() float64 { return clip((shakyFrom-l.sugar)/0.35, 0, 4) }

func (l *lowSugar) heart(_ *Body, bpm float64) float64 { return bpm + float64(3*l.lack()) }

func (l *lowSugar) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(6*least(l.lack()-2, 0))
}

func (l *lowSugar) symptoms(_ *Body, dst []Symptom) []Symptom {
	if l.sugar < shakyFrom {
		g := min(4, 1+int((shakyFrom-l.sugar)/sugarGrade))
		dst = append(dst, Symptom{Shaky, g, Found}, Symptom{Shaky, g, Seen}, Symptom{ColdSweat, g, Seen})
	}
	if l.sugar < muddledFrom {
		g := min(4, 1+int((muddledFrom-l.sugar)/sugarGrade))
		dst = append(dst, Symptom{Confused, g, Found}, Symptom{Confused, g, Seen}, Symptom{Confused, g, Unasked})
	}
	return dst
}
