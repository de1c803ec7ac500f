package exercises

import (
	"fmt"

	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A BalanceRow is one thing that should be the same for everybody in a class: the students with the least and with the most of it, and the mean.
// It counts the first try.
type BalanceRow struct {
	What  string  `json:"what"`
	Least int     `json:"least"`
	Most  int     `json:"most"`
	Mean  float64 `json:"mean"`
}

// Balance says how evenly an assignment is spread over its students; bands is the number of rows of the branch table.
func (a Assignment) Balance(bands int) []BalanceRow {
	count := func(what string, of func(PackSubject) int) BalanceRow {
		r := BalanceRow{What: what}
		total := 0
		for i, s := range a.Students {
			n := 0
			for _, x := range s.Subjects {
				n += of(x)
			}
			if i == 0 || n < r.Least {
				r.Least = n
			}
			r.Most = max(r.Most, n)
			total += n
		}
		if len(a.Students) > 0 {
			r.Mean = unit.Round(float64(total)/float64(len(a.Students)), 2)
		}
		return r
	}
	one := func(yes bool) int {
		if yes {
			return 1
		}
		return 0
	}
	rows := []BalanceRow{
		count("subjects", func(PackSubject) int { return 1 }),
		count("difficulty, scored subjects", func(x PackSubject) int { return one(x.Scored) * x.Difficulty }),
	}
	for _, s := range scenarios.Strata() {
		rows = append(rows, count(stratumWords[s], func(x PackSubject) int { return one(x.Stratum == s && x.Scored) }))
	}
	if a.Mix != "" && a.Mix.Unscored() > 0 {
		rows = append(rows, count("not scored, so that nobody can count", func(x PackSubject) int { return one(!x.Scored) }))
	}
	for b := 1; b <= bands; b++ {
		rows = append(rows, count(fmt.Sprintf("first stage leads to row %d of the branch table", b), func(x PackSubject) int {
			return one(len(x.Tries) > 0 && x.Tries[0].Band == b)
		}))
	}
	return rows
}

// stratumWords are for the instructor.
var stratumWords = map[scenarios.Stratum]string{
	scenarios.Uneventful: "uneventful",
	scenarios.LookAlike:  "something to notice, and the test goes on",
	scenarios.NotTested:  "must not begin today",
	scenarios.MustStop:   "must be ended under way",
}
