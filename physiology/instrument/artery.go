package instrument

import (
	"math/rand/v2"

	"kilopond/physiology/unit"
)

// An Artery is how one person's artery sounds under a cuff, beside what its pressure does. The zero value sounds as in the book.
type Artery struct {
	GapFrom, GapTo float64 // a silent gap, as shares of the pulse pressure above diastolic, the higher first; both 0 when there is none
	ToZero         bool    // at work the dull sounds run on to nothing
	Neck           unit.HR // by how much fingers on the neck slow the heart
}

// How often, and how wide a silent gap is. Source: [CAVALLINI1996] for people with a high resting pressure; [SKYSCAPE] a gap may cover up to 40 mmHg;
// [CHOICE-ARTERY] the others, the place of the gap, and the sounds that run to nothing, which [K45] found in half of the children.
const (
	gapHigh, gapElse  = 0.21, 0.03
	highFrom          = 140 // mmHg, resting systolic
	gapTopLow, gapTop = 0.75, 0.90
	gapLeast, gapMost = 0.15, 0.35
	toZero            = 0.15
	pressed, neckMost = 0.10, 4 // of people, bpm: fingers that press too hard. Source: [PRACTICE-NECK]; [CAROTID42] found none in 42.
)

// DrawArtery draws how the artery of a person of a resting systolic pressure sounds. It draws six times.
func DrawArtery(r *rand.Rand, rest unit.Pressure) Artery {
	chance := gapElse
	if rest >= highFrom {
		chance = gapHigh
	}
	u, top, width := r.Float64(), r.Float64(), r.Float64()
	a := Artery{ToZero: r.Float64() < toZero}
	if u < chance {
		a = a.WithGap(top, width)
	}
	if press, slows := r.Float64(), r.Float64(); press < pressed {
		a.Neck = unit.HR(neckMost * slows)
	}
	return a
}

// WithGap is the artery with a silent gap, its top and its width placed by 0 to 1 within what occurs.
func (a Artery) WithGap(top, width float64) Artery {
	a.GapFrom = gapTopLow + float64((gapTop-gapTopLow)*top)
	a.GapTo = a.GapFrom - gapLeast - float64((gapMost-gapLeast)*width)
	return a
}

// silent says whether nothing is heard at a share of the pulse pressure.
func (a Artery) silent(part float64) bool { return part < a.GapFrom && part > a.GapTo }

// congestedS is how long an arm stays congested after a cuff was let down, in s; congestedSBP and congestedDBP by how many mmHg a cuff at once
// after another reads low and high. Source: [GAP] the minute; [CHOICE-CONGESTION] the sizes.
const (
	congestedS                 = 60
	congestedSBP, congestedDBP = 2.0, 4.0
)
