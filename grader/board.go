package grader

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"kilopond/grader/stats"
)

// BoardRules say when somebody stands on the board. Source: [CHOICE-BOARD].
type BoardRules struct {
	LeastAttempts     int     // that can be estimated
	LeastPeople       int     // who stand on it; fewer would be known by their places
	MostFalsePercent  float64 // of a student's tests that were stopped for nothing: else stopping early would be the way to the top
	Neighbours        int     // above and below, of the view of one
	TopOfNeighbouring int     // shown to everybody
}

// DefaultBoardRules returns the rules of the board. Source: [CHOICE-BOARD].
func DefaultBoardRules() BoardRules {
	return BoardRules{LeastAttempts: 5, LeastPeople: 10, MostFalsePercent: 20, Neighbours: 3, TopOfNeighbouring: 3}
}

// A Board is a class by error margin M: not by marks. It shows aliases of those who asked to stand on it, and nothing of safety.
type Board struct {
	Rows    []BoardRow `json:"rows"`
	People  int        `json:"people"` // on the board
	Class   *float64   `json:"class_mean_ratio"`
	Hidden  string     `json:"hidden"`   // why nothing is shown, or ""
	LeftOut []LeftOut  `json:"left_out"` // for the instructor only
}

// A BoardRow is one place. Ratio 1 is what a perfect counter comes to.
type BoardRow struct {
	Rank     int        `json:"rank"` // shared within one standard error
	Alias    string     `json:"alias"`
	Attempts int        `json:"attempts"`
	Ratio    float64    `json:"ratio"`    // mean |M| over the |M| to be expected of a perfect counter on the same paths
	Shrunk   float64    `json:"shrunk"`   // drawn towards the class by the number of attempts: orders the board
	Interval [2]float64 `json:"interval"` // 95 %, of the shrunk ratio
	MeanAbs  float64    `json:"mean_abs_ml_kg_min"`
	Expected float64    `json:"expected_ml_kg_min"`
	Bias     float64    `json:"bias_ml_kg_min"` // signed mean of M
	BiasCI   [2]float64 `json:"bias_ci"`        // 95 %, t
}

// A LeftOut is somebody who asked to stand on the board and does not, with why.
type LeftOut struct {
	Student string `json:"student"`
	Why     string `json:"why"`
}

// ratios are the attempts of one student that count for the board. The ratio of sums is used, since a path on which little was to be expected
// must not weigh more than others; each attempt stands for it by its linearised value, whose mean is the ratio. Source: [COCHRAN1977].
type ratios struct {
	student        string
	values, signed []float64
	ratio          float64
	abs, expected  float64 // means
	gateClosed     bool
	falseShare     float64
}

func ratiosOf(students []studentScore) []ratios {
	var all []ratios
	for _, s := range students {
		r := ratios{student: s.name}
		var abs, expected []float64
		begun, stopped := 0, 0
		for _, m := range s.marks {
			r.gateClosed = r.gateClosed || len(m.Gate) > 0
			if m.Stops.Begun {
				begun++
				if m.Stops.False {
					stopped++
				}
			}
			if m.Margins.M.MlKgMin == nil || m.Perfect == nil || !(*m.Perfect > 0) {
				continue
			}
			r.signed = append(r.signed, *m.Margins.M.MlKgMin)
			abs = append(abs, math.Abs(*m.Margins.M.MlKgMin))
			expected = append(expected, *m.Perfect)
		}
		if begun > 0 {
			r.falseShare = 100 * float64(stopped) / float64(begun)
		}
		if len(abs) > 0 {
			r.abs, r.expected = stats.Mean(abs), stats.Mean(expected)
			r.ratio = r.abs / r.expected
			for i := range abs {
				r.values = append(r.values, r.ratio+(abs[i]-r.ratio*expected[i])/r.expected)
			}
		}
		all = append(all, r)
	}
	return all
}

// BoardOf ranks those who asked to stand on the board. aliases is by student. The class towards which few attempts are drawn is everybody.
func BoardOf(rules BoardRules, entries []Entry, aliases map[string]string) Board {
	b := Board{Rows: []BoardRow{}, LeftOut: []LeftOut{}}
	all := ratiosOf(scores(entries))
	var values [][]float64
	people := 0
	for _, r := range all {
		values = append(values, r.values)
		if len(r.values) > 0 {
			people++
		}
	}
	class, ok := stats.Components(values)
	if ok {
		b.Class = figure(class.Mean, 2)
	}
	met := map[string]bool{}
	for _, r := range all {
		alias, asked := aliases[r.student]
		if !asked {
			continue
		}
		met[r.student] = true
		if why := rules.leavesOut(r); why != "" {
			b.LeftOut = append(b.LeftOut, LeftOut{r.student, why})
			continue
		}
		if ok {
			b.Rows = append(b.Rows, rowOf(r, alias, class, people))
		}
	}
	for _, student := range sortedAliases(aliases) {
		if !met[student] {
			b.LeftOut = append(b.LeftOut, LeftOut{student, "no attempt that counts"})
		}
	}
	slices.SortStableFunc(b.LeftOut, func(x, y LeftOut) int { return cmp.Compare(x.Student, y.Student) })
	b.People = len(b.Rows)
	if b.People < rules.LeastPeople {
		b.Rows = []BoardRow{}
		b.Hidden = fmt.Sprintf("%d can stand on it; it is shown from %d on, so that nobody is known by a place", b.People, rules.LeastPeople)
		return b
	}
	b.rank(class, people)
	return b
}

// leavesOut says why somebody does not stand on the board, "" when they do. No margin buys the gate.
func (rules BoardRules) leavesOut(r ratios) string {
	switch {
	case r.gateClosed:
		return "the gate is closed in an attempt that counts"
	case len(r.values) < rules.LeastAttempts:
		return fmt.Sprintf("%d attempts that can be estimated; %d are needed", len(r.values), rules.LeastAttempts)
	case r.falseShare > rules.MostFalsePercent:
		return fmt.Sprintf("%.0f %% of the tests were stopped for nothing; %.0f %% at most", r.falseShare, rules.MostFalsePercent)
	}
	return ""
}

func rowOf(r ratios, alias string, class stats.Class, people int) BoardRow {
	n := len(r.values)
	shrunk, _ := class.Shrunk(r.ratio, n)
	around := class.Interval(shrunk, n, people)
	row := BoardRow{
		Alias: alias, Attempts: n, Ratio: *figure(r.ratio, 2), Shrunk: shrunk,
		Interval: [2]float64{*figure(max(0, around[0]), 2), *figure(around[1], 2)},
		MeanAbs:  *figure(r.abs, 2), Expected: *figure(r.expected, 2),
	}
	a := stats.Agree(r.signed, make([]float64, n))
	row.Bias = *figure(a.Bias, 2)
	if a.BiasCI != nil {
		row.BiasCI = [2]float64{*figure(a.BiasCI[0], 2), *figure(a.BiasCI[1], 2)}
	}
	return row
}

// rank orders the rows; whoever is within one standard error of the first of a place shares it.
func (b *Board) rank(class stats.Class, people int) {
	slices.SortStableFunc(b.Rows, func(x, y BoardRow) int { return cmp.Or(cmp.Compare(x.Shrunk, y.Shrunk), cmp.Compare(x.Alias, y.Alias)) })
	first := 0
	for i := range b.Rows {
		if b.Rows[i].Shrunk-b.Rows[first].Shrunk > class.Error(b.Rows[first].Attempts, people) {
			first = i
		}
		b.Rows[i].Rank = first + 1
	}
	for i := range b.Rows {
		b.Rows[i].Shrunk = *figure(b.Rows[i].Shrunk, 2)
	}
}

// SeenBy is the board as one of those on it sees it: the top and the own neighbours, and nothing that is for the instructor. ok is false when
// the alias is not on it.
func (b Board) SeenBy(rules BoardRules, alias string) (Board, bool) {
	at := slices.IndexFunc(b.Rows, func(r BoardRow) bool { return r.Alias == alias })
	if at < 0 {
		return Board{}, false
	}
	seen := Board{Rows: []BoardRow{}, People: b.People, Class: b.Class, LeftOut: []LeftOut{}}
	for i, r := range b.Rows {
		if i < rules.TopOfNeighbouring || i >= at-rules.Neighbours && i <= at+rules.Neighbours {
			seen.Rows = append(seen.Rows, r)
		}
	}
	return seen, true
}

func sortedAliases(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
