package skill

import (
	"sort"
	"time"

	"kilopond/exercises"
	"kilopond/grader/stats"
	"kilopond/scenarios"
)

// A Count is how many of so many, with the 95 % interval of the share when there is one.
type Count struct {
	Right    int         `json:"right"`
	N        int         `json:"n"`
	Interval *[2]float64 `json:"interval"`
}

// NewCount counts; nothing out of nothing has no interval.
func NewCount(right, n int) Count {
	c := Count{Right: right, N: n}
	if n > 0 {
		w := stats.Wilson(right, n)
		c.Interval = &w
	}
	return c
}

// A Standing is where a student stands in one skill.
type Standing struct {
	Skill    Name
	Level    int
	At       Count // answers at this level
	All      Count // at every level
	Sittings int
	Last     time.Time // zero when never
	Due      time.Time // zero: at once
}

// question tells one question from another: the same one answered again says nothing new.
type question struct {
	skill, rulebook string
	seed            scenarios.Seed
	level           int
}

// fresh returns the answers that say something new.
//
// It puts the answers in order of time and leaves out those to a question that was answered before.
func fresh(answers []exercises.Answered) []exercises.Answered {
	sorted := append([]exercises.Answered(nil), answers...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].At.Before(sorted[j].At) })
	seen := map[question]bool{}
	var list []exercises.Answered
	for _, a := range sorted {
		q := question{a.Skill, a.Rulebook, a.Seed, a.Level}
		if !seen[q] {
			seen[q] = true
			list = append(list, a)
		}
	}
	return list
}

// Fold works out where a student stands from everything that was answered, in the order of Skills.
func Fold(answers []exercises.Answered) []Standing {
	list := fresh(answers)
	var all []Standing
	for _, s := range Skills() {
		climb, space := newLadder(s.Name), spacing{}
		right, n := map[int]int{}, map[int]int{}
		for _, a := range list {
			if a.Skill != string(s.Name) || a.Level > Levels {
				continue
			}
			n[a.Level]++
			if a.Right {
				right[a.Level]++
			}
			space.take(a.At, outcomeOf(a))
			if a.Level == climb.level {
				climb.take(outcomeOf(a))
			}
		}
		st := Standing{Skill: s.Name, Level: climb.level, At: NewCount(right[climb.level], n[climb.level]), Sittings: space.sittings, Last: space.last, Due: space.due()}
		var r, m int
		for level := 1; level <= Levels; level++ {
			r, m = r+right[level], m+n[level]
		}
		st.All = NewCount(r, m)
		all = append(all, st)
	}
	return all
}

// DueAt says whether a skill is due at a time.
func (s Standing) DueAt(now time.Time) bool { return !s.Due.After(now) }
