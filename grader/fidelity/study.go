package fidelity

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"kilopond/scenarios"
)

// A record is what one person contributes to a study, a number a column. What a person does not come to is NaN.
type record []float64

// A study is one simulation, the same for every person, from which several rows are read.
type study struct {
	name   string
	people int // in a full run
	quick  int
	person func(seed scenarios.Seed) record // nil when the person is not one of those who are studied
}

// A measure reads one row of the table from the records of a study.
type measure struct {
	id    string
	study string
	value func(all []record) float64 // NaN when there are too few people
}

// groups is into how many parts the people are cut to see how much the statistic depends on who was drawn. Source: [CHOICE-FIDELITY].
const groups = 20

// interval is the statistic with its 95 % interval by the jackknife: each group left out in turn. It asks nothing of the statistic but that it
// be smooth, so that it serves means, medians, correlations and slopes alike. Source: [TUKEY1958].
func interval(all []record, value func([]record) float64) (v, low, high float64) {
	v = value(all)
	var without []float64
	for g := range groups {
		rest := make([]record, 0, len(all))
		for i, r := range all {
			if i%groups != g {
				rest = append(rest, r)
			}
		}
		if x := value(rest); !math.IsNaN(x) {
			without = append(without, x)
		}
	}
	if len(without) < 2 {
		return v, math.NaN(), math.NaN()
	}
	k := float64(len(without))
	spread := math.Sqrt((k - 1) / k * (k - 1) * stat.Variance(without, nil))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: k - 1}.Quantile(0.975)
	return v, v - t*spread, v + t*spread
}

// column are the values of one column of those who have one.
func column(all []record, c int, keep func(record) bool) []float64 {
	var x []float64
	for _, r := range all {
		if (keep == nil || keep(r)) && !math.IsNaN(r[c]) {
			x = append(x, r[c])
		}
	}
	return x
}

func meanOf(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	return stat.Mean(x, nil)
}

func sdOf(x []float64) float64 {
	if len(x) < 2 {
		return math.NaN()
	}
	return stat.StdDev(x, nil)
}

func quantileOf(p float64, x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	return stat.Quantile(p, stat.LinInterp, s, nil)
}

func medianOf(x []float64) float64 { return quantileOf(0.5, x) }

// Ways to read a column, of those whom keep takes (nil: everybody).
func mean(c int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 { return meanOf(column(all, c, keep)) }
}

func sd(c int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 { return sdOf(column(all, c, keep)) }
}

func median(c int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 { return medianOf(column(all, c, keep)) }
}

// pair are two columns of those who have both.
func pair(all []record, a, b int, keep func(record) bool) (x, y []float64) {
	for _, r := range all {
		if (keep == nil || keep(r)) && !math.IsNaN(r[a]) && !math.IsNaN(r[b]) {
			x, y = append(x, r[a]), append(y, r[b])
		}
	}
	return x, y
}

func correlation(a, b int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 {
		x, y := pair(all, a, b, keep)
		if len(x) < 3 {
			return math.NaN()
		}
		return stat.Correlation(x, y, nil)
	}
}

func slope(a, b int, keep func(record) bool) func([]record) float64 {
	return func(all []record) float64 {
		x, y := pair(all, a, b, keep)
		if len(x) < 3 {
			return math.NaN()
		}
		_, s := stat.LinearRegression(x, y, nil, false)
		return s
	}
}
