package body

import "math/rand/v2"

// Angina is discomfort that comes when heart rate × systolic pressure passes a threshold of the person's own, and grows above it.
//
// The product at onset is nearly constant in one person (SD 6–8 % over days) and differs between people. Grades 1 to 4 over the next
// 8 %; it comes within half a minute and eases over 2–5 minutes. Source: [WATERS1985], [CLAUSEN1976], [MCGRAW1981], [CHOICE-ANGINA].
type Angina struct {
	Threshold Span `json:"rate_pressure_product" yaml:"rate_pressure_product"` // bpm·mmHg
}

func (Angina) name() string { return "angina" }

func (a Angina) check() []string {
	return inside(nil, "rate_pressure_product", a.Threshold, 9000, 30000)
}

func (a Angina) start(_ Traits, r *rand.Rand) mechanism {
	own := a.Threshold.draw(r)
	today := within(r, 1, 0.07, 0.86, 1.14)
	return &angina{threshold: grid(own * today)}
}

type angina struct {
	healthy
	threshold float64
	pain      float64 // 0 none … 4
}

// painOn and painOff are exp(−1/15) and exp(−1/75); painFlat is exp(−1/225): laid flat, the heart has more blood to move, and the pain eases three
// times as slowly. Source: [CHOICE-ANGINA]; not to lay them flat [PRACTICE-EMERGENCY].
const painOn, painOff, painFlat = 0.9355069850316178, 0.9867551618071957, 0.9955654177187135

func (a *angina) after(b *Body) {
	over := float64(b.hr*b.sbp)/a.threshold - 1
	level := 0.0
	if over > 0 {
		level = 1 + float64(3*min(1, over/0.08))
	}
	keep := painOn
	if level < a.pain {
		keep = painOff
		if b.last.Posture == Lying {
			keep = painFlat
		}
	}
	a.pain = level + float64((a.pain-level)*keep)
}

func (a *angina) pressure(_ *Body, sbp, dbp float64) (float64, float64) {
	return sbp - float64(4*max(0, a.pain-2)), dbp
}

func (a *angina) symptoms(_ *Body, dst []Symptom) []Symptom {
	g := int(a.pain + 0.5)
	if g >= 1 {
		dst = append(dst, Symptom{ChestDiscomfort, g, Found})
	}
	if g >= 2 {
		dst = append(dst, Symptom{ChestDiscomfort, g, Seen})
	}
	if g >= 3 {
		dst = append(dst, Symptom{ChestDiscomfort, g, Unasked})
	}
	return dst
}
