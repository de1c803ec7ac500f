package body

import "math/rand/v2"

// RateLimit is a heart rate that above an onset follows the work only in part, while breath and feeling follow it in full.
//
// Source: [BENJ] what it means for a test; sizes [CHOICE-MECHANISMS].
type RateLimit struct {
	Onset Span `json:"onset_vo2_reserve" yaml:"onset_vo2_reserve"` // fraction of VO2 reserve
	Slope Span `json:"slope_times" yaml:"slope_times"`             // of what the rate would rise above the onset
}

func (RateLimit) name() string { return "rate_limit" }

func (l RateLimit) check() []string {
	return inside(inside(nil, "onset_vo2_reserve", l.Onset, 0.1, 0.9), "slope_times", l.Slope, 0, 0.8)
}

func (l RateLimit) start(_ Traits, r *rand.Rand) mechanism {
	return &rateLimit{onset: l.Onset.draw(r), slope: l.Slope.draw(r)}
}

type rateLimit struct {
	healthy
	onset, slope float64
	held         float64 // fraction of heart-rate reserve by which the rate lags now
}

// bent is the fraction of heart-rate reserve at a fraction of VO2 reserve, on the person's own curve.
func (b *Body) bent(x float64) float64 {
	c := b.traits.Bend + b.day.BendShift
	return x + float64(float64(4*c*x)*(1-x))
}

func (l *rateLimit) heart(b *Body, bpm float64) float64 {
	l.held = 0
	if b.x > l.onset {
		l.held = max(0, (1-l.slope)*(b.bent(b.x)-b.bent(l.onset)))
	}
	return bpm - float64(l.held*float64(b.traits.TrueMaxHR-b.traits.RestHR))
}

// effort is felt as if the heart rate were what the work asks for.
func (l *rateLimit) effort(b *Body, rating float64) float64 {
	if l.held == 0 || b.watts == 0 {
		return rating
	}
	rest := float64(b.traits.RestHR)
	now := max(0, (b.hr-rest)/(float64(b.traits.TrueMaxHR)-rest))
	return rating + float64(12.2*(h1375(min(1, now+l.held))-h1375(min(1, now))))
}

func (l *rateLimit) symptoms(b *Body, dst []Symptom) []Symptom {
	lag := l.held * float64(b.traits.TrueMaxHR-b.traits.RestHR)
	switch {
	case lag >= 30:
		return append(dst, Symptom{RateFlat, 3, Found}, Symptom{Breathless, 1, Found})
	case lag >= 18:
		return append(dst, Symptom{RateFlat, 2, Found})
	case lag >= 10:
		return append(dst, Symptom{RateFlat, 1, Found})
	}
	return dst
}
