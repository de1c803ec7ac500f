package stats

import (
	"math"
	"sort"
)

// Difficulty is the mean credit as a share of the most that could be had: 1 is easy. Partial credit counts. Not fewer than one student.
func Difficulty(credit []float64, most float64) float64 { return mean(credit) / most }

// UpperLower is the difference of an item's mean credit, as a share of most, between the top and the bottom 27 % by total.
// ok is false with fewer than four students. Source: [KELLEY1939].
func UpperLower(item, total []float64, most float64) (d float64, ok bool) {
	n := len(total)
	if n < 4 {
		return 0, false
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return total[order[i]] > total[order[j]] })
	group := int(math.Round(0.27 * float64(n)))
	var top, bottom float64
	for i := range group {
		top += item[order[i]]
		bottom += item[order[n-1-i]]
	}
	return (top - bottom) / float64(group) / most, true
}

// ErrorOfScore is the standard error of measurement of a score whose SD over students is s.
func ErrorOfScore(s, r float64) float64 { return s * math.Sqrt(max(0, 1-r)) }

// Kappa is the agreement of two verdicts on each student beyond chance; ok is false when both verdicts are the same for everybody.
// Source: [COHEN1960].
func Kappa(first, second []bool) (kappa float64, ok bool) {
	n := float64(len(first))
	if n == 0 || len(first) != len(second) {
		return 0, false
	}
	var same, a, b float64
	for i := range first {
		if first[i] == second[i] {
			same++
		}
		if first[i] {
			a++
		}
		if second[i] {
			b++
		}
	}
	chance := (a*b + (n-a)*(n-b)) / (n * n)
	if chance >= 1 {
		return 0, false
	}
	return (same/n - chance) / (1 - chance), true
}
