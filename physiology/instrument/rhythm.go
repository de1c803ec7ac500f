package instrument

import "slices"

// Gaps between felt beats that a careful finger calls odd: half as long again as the usual one, or shorter by three tenths of it and by at least
// two tenths of a second, less than which nobody tells. Breathing moves a gap by a tenth or so and is never odd. Source: [CHOICE-ODD-GAPS].
const (
	longGap  = 1.5
	shortGap = 0.7
	leastGap = 2 // tenths of a second
)

// OddGaps counts the gaps between felt beats, given in tenths of a second, that do not fit the usual one: a beat too early, or one that never
// came. A finger that misses a beat feels the same gap, so a single one says nothing.
func OddGaps(tenths []int) int {
	if len(tenths) < 4 {
		return 0
	}
	gaps := make([]int, 0, 64)
	for i := 1; i < len(tenths); i++ {
		gaps = append(gaps, tenths[i]-tenths[i-1])
	}
	inOrder := append(make([]int, 0, 64), gaps...)
	slices.Sort(inOrder)
	usual := float64(inOrder[len(inOrder)/2])
	odd := 0
	for _, g := range gaps {
		switch gap := float64(g); {
		case gap >= longGap*usual:
			odd++
		case gap <= shortGap*usual && usual-gap >= leastGap:
			odd++
		}
	}
	return odd
}
