package stats

import (
	"math"
	"sort"
)

// Difficulty is the mean credit as a share of the most that could be had: 1 is easy. Partial credit counts. Not fewer than one student.
func Difficulty(credit []float64, most float64) float64 { return mean(credit) / most }

// Corrected is the discrimination of an item: its correlation with the total without it. The uncorrected one flatters every item, because it
// is part of the total. ok is false when there is no spread. Source: [EBEL1965] its reading; the correction by definition.
func Corrected(item, total []float64) (r float64, ok bool) {
	rest := make([]float64, len(total))
	for i := range total {
		rest[i] = total[i] - item[i]
	}
	return Correlation(item, rest)
}

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

// Alpha is Cronbach's alpha of a full table, a row a student and a column an item, with divisor n throughout; for items of 0 and 1 it is
// KR-20. ok is false without spread of totals or with fewer than two items. Source: [KUDER1937], [CRONBACH1951].
func Alpha(rows [][]float64) (alpha float64, ok bool) {
	if len(rows) < 2 || len(rows[0]) < 2 {
		return 0, false
	}
	k := len(rows[0])
	totals := make([]float64, len(rows))
	var ofItems float64
	for j := range k {
		column := make([]float64, len(rows))
		for i, r := range rows {
			if len(r) != k {
				return 0, false
			}
			column[i] = r[j]
			totals[i] += r[j]
		}
		ofItems += squares(column)
	}
	ofTotals := squares(totals)
	if !spreads(ofTotals, mean(totals)) {
		return 0, false
	}
	return float64(k) / float64(k-1) * (1 - ofItems/ofTotals), true
}

// Lengthened is the reliability of a test k times as long. Source: [SPEARMAN1910].
func Lengthened(r, k float64) float64 { return k * r / (1 + (k-1)*r) }

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
