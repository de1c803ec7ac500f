package grader

import (
	"cmp"
	"slices"

	"kilopond/grader/stats"
)

// A Reliability is how far the marks tell students apart, over subjects: items that are not reached are missing by design, so one score of each
// subject is used, and not the items.
type Reliability struct {
	Design   string   `json:"design"` // crossed: the same cases for these students; nested: each has subjects of their own; none
	Students int      `json:"students"`
	Subjects *float64 `json:"subjects"` // of each student; the harmonic mean when they differ
	Relative *float64 `json:"relative"` // for ranking, equal to alpha; crossed only
	Absolute *float64 `json:"absolute"` // against a fixed mark
	SEM      *float64 `json:"sem"`      // standard error of a student's percentage
}

// A Consistency is how often two halves of a student's attempts come to the same verdict.
type Consistency struct {
	Students int      `json:"students"`
	Same     *float64 `json:"same"`
	Kappa    *float64 `json:"kappa"` // beyond chance; nil when everybody has one verdict
}

// A Near is a student whose percentage lies within 1.96 standard errors of the line.
type Near struct {
	Student    string  `json:"student"`
	Percent    float64 `json:"percent"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	Line       float64 `json:"line"`
	GateClosed int     `json:"gates_closed"`
}

// reliability uses the largest full table of students by cases when there is one of ten students by two cases at least; else the subjects of
// each student as drawn for that student. Source: [BRENNAN2001], [SHROUT1979]; [CHOICE-CLASS] the size.
func reliability(students []studentScore) Reliability {
	var percents []float64
	var own [][]float64
	for _, s := range students {
		var list []float64
		for _, m := range s.marks {
			if m.Percent != nil {
				list = append(list, *m.Percent)
			}
		}
		if len(list) > 0 && s.reach > 0 {
			own = append(own, list)
			percents = append(percents, 100*s.earned/s.reach)
		}
	}
	r := Reliability{Design: "none"}
	if table := fullTable(students); table != nil {
		if v, ok := stats.TwoWay(table); ok {
			r.Design, r.Students, r.Subjects = "crossed", v.N, figure(float64(v.K), 1)
			if x, ok := v.Relative(); ok {
				r.Relative = figure(max(0, x), 3)
			}
			if x, ok := v.Absolute(); ok {
				x = max(0, x)
				r.Absolute = figure(x, 3)
				means := make([]float64, len(table))
				for i, row := range table {
					means[i] = stats.Mean(row)
				}
				r.SEM = figure(stats.ErrorOfScore(stats.SD(means), x), 2)
			}
			return r
		}
	}
	class, ok := stats.Components(own)
	if !ok || len(own) < LeastReached {
		return r
	}
	r.Design, r.Students = "nested", len(own)
	var inverse float64
	for _, list := range own {
		inverse += 1 / float64(len(list))
	}
	r.Subjects = figure(float64(len(own))/inverse, 1)
	if x, ok := class.Nested(own); ok {
		r.Absolute = figure(x, 3)
		r.SEM = figure(stats.ErrorOfScore(stats.SD(percents), x), 2)
	}
	return r
}

// fullTable is the largest table of students by cases without a hole, nil when none has ten rows and two columns. A student's score in a case
// is the mean over the attempts at it.
func fullTable(students []studentScore) [][]float64 {
	byCase := make([]map[string]float64, len(students))
	having := map[string]int{}
	for i, s := range students {
		sums, n := map[string]float64{}, map[string]int{}
		for _, m := range s.marks {
			if m.Percent != nil {
				sums[m.Case] += *m.Percent
				n[m.Case]++
			}
		}
		for c := range sums {
			sums[c] /= float64(n[c])
			having[c]++
		}
		byCase[i] = sums
	}
	cases := make([]string, 0, len(having))
	for c := range having {
		cases = append(cases, c)
	}
	slices.SortFunc(cases, func(a, b string) int { return cmp.Or(cmp.Compare(having[b], having[a]), cmp.Compare(a, b)) })
	var best [][]float64
	for k := 2; k <= len(cases); k++ {
		var table [][]float64
		for _, by := range byCase {
			row := make([]float64, 0, k)
			for _, c := range cases[:k] {
				if x, ok := by[c]; ok {
					row = append(row, x)
				}
			}
			if len(row) == k {
				table = append(table, row)
			}
		}
		if len(table) < LeastReached {
			break
		}
		if best == nil || len(table)*k > len(best)*len(best[0]) {
			best = table
		}
	}
	return best
}

// consistency judges the odd and the even attempts of each student apart. Source: [COHEN1960].
func consistency(students []studentScore) Consistency {
	var odd, even []bool
	same := 0
	for _, s := range students {
		if len(s.marks) < 2 {
			continue
		}
		var halves [2][]Mark
		for i, m := range s.marks {
			halves[i%2] = append(halves[i%2], m)
		}
		a, b := standing("", halves[0]), standing("", halves[1])
		if a.Percent == nil || b.Percent == nil {
			continue
		}
		odd, even = append(odd, a.Passed), append(even, b.Passed)
		if a.Passed == b.Passed {
			same++
		}
	}
	c := Consistency{Students: len(odd)}
	if len(odd) == 0 {
		return c
	}
	c.Same = figure(float64(same)/float64(len(odd)), 3)
	if k, ok := stats.Kappa(odd, even); ok {
		c.Kappa = figure(k, 3)
	}
	return c
}
