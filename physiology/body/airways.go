package body

import "math/rand/v2"

// Bronchospasm is airways that narrow some minutes into the work: a cough and a whistle. Work holds them open in part, so that they narrow most
// when it has become light or ended, worst five to ten minutes later; by themselves they are open again after half an hour to an hour.
//
// It is kept as the share lost of what can be blown out in one second. Source: [RUBINSTEIN1987] 36 ± 13 % at the worst; [BECK1994] narrower
// after the work than during it, and at each fall of the load; [EIA-REVIEW] gone by itself within 60 min; [ATS2013] grades; timing
// [PRACTICE-SPASM].
type Bronchospasm struct {
	Onset Span `json:"onset_min" yaml:"onset_min"` // minutes of work
}

func (Bronchospasm) name() string { return "bronchospasm" }

func (a Bronchospasm) check() []string { return inside(nil, "onset_min", a.Onset, 1, 20) }

// start: people with little of it would not be noticed at all, so the published spread is cut below. Source: [RUBINSTEIN1987].
func (a Bronchospasm) start(_ Traits, r *rand.Rand) mechanism {
	return &bronchospasm{onset: 60 * a.Onset.draw(r), worst: within(r, 36, 13, 24, 60), worstS: uniform(r, 330, 570)}
}

type bronchospasm struct {
	healthy
	onset         float64 // s of work
	worst, worstS float64 // per cent lost at the worst, and s after the end of hard work when that is
	worked        float64 // s
	hardest       float64 // W
	eased         float64 // s since the work became light or ended
	lost          float64 // per cent of the air of one second
}

// held is the part of the worst that is reached while work holds the airways open, lightWork the fraction of the hardest load from which
// they no longer are; narrowing is 1 − exp(−1/120), opening 1 − exp(−1/1500). Source: [BECK1994] direction; sizes [CHOICE-MECHANISMS].
const (
	held, lightWork    = 0.45, 0.5
	shortWorkS         = 180 // s of work that leave no trace
	narrowing, opening = 0.008298707361124036, 0.0006664444938189225
)

func (a *bronchospasm) after(b *Body) {
	a.hardest = least(a.hardest, b.watts)
	level := 0.0
	if b.working() && b.watts >= lightWork*a.hardest {
		a.worked++
		a.eased = 0
		if a.worked > a.onset {
			level = float64(held * a.worst)
		}
	} else if a.worked > shortWorkS {
		if a.eased++; a.eased <= a.worstS {
			level = float64(a.worst * min(1, a.worked/a.onset))
		}
	}
	by := narrowing
	if level < a.lost {
		by = opening
	}
	a.lost += float64((level - a.lost) * by)
}

// level is 4 at half of the air lost.
func (a *bronchospasm) level() float64 { return clip(a.lost/12.5, 0, 4) }

func (a *bronchospasm) effort(_ *Body, rating float64) float64 {
	return rating + float64(0.9*a.level())
}

func (a *bronchospasm) heart(_ *Body, bpm float64) float64 {
	return bpm + float64(2*a.level())
}

// flatLoses is how much harder it is to breathe laid flat, in per cent of FEV₁. Source: [CHOICE-MECHANISMS]; to sit leaning forward
// [PRACTICE-EMERGENCY].
const flatLoses = 10

// grade: mild from 10 per cent, moderate from 25, severe from 50. Source: [ATS2013]; between the last two [CHOICE-MECHANISMS].
func (a *bronchospasm) grade(lying bool) int {
	lost := a.lost
	if lying {
		lost += flatLoses
	}
	switch {
	case lost >= 50:
		return 4
	case lost >= 37.5:
		return 3
	case lost >= 25:
		return 2
	case lost >= 10:
		return 1
	}
	return 0
}

func (a *bronchospasm) symptoms(b *Body, dst []Symptom) []Symptom {
	g := 0
	if a.lost > 0 {
		g = a.grade(b.last.Posture == Lying)
	}
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
