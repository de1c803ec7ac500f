package body

// An ache is a level from 0 to 4 that grows under a cause and eases without it; its whole part is a grade.
type ache struct {
	level float64
	ease  float64 // share of the level left after a second without the cause
}

// grow adds to the level, at most to 4.
func (a *ache) grow(by float64) { a.level = min(a.level+by, 4) }

// rest lets it ease for a second.
func (a *ache) rest() { a.level = float64(a.level * a.ease) }

func (a *ache) grade() int { return int(a.level) }

// spoken adds a sign that is first found by asking, then seen, then said. Source: [CHOICE-SIGNS].
func (a *ache) spoken(sign Sign, dst []Symptom) []Symptom {
	g := a.grade()
	if g >= 1 {
		dst = append(dst, Symptom{sign, g, Found})
	}
	if g >= 2 {
		dst = append(dst, Symptom{sign, g, Seen})
	}
	if g >= 3 {
		dst = append(dst, Symptom{sign, g, Unasked})
	}
	return dst
}

// working says whether the legs are at work of their own accord.
func (b *Body) working() bool { return b.last.Pedalling && !b.stopped && b.watts > 0 }

// easeMin and easeSlow are exp(−1/60) and exp(−1/480): gone within minutes, and within a quarter of an hour. Source: [CHOICE-MECHANISMS].
const easeMin, easeSlow = 0.9834714538216175, 0.9979188352992993
