package grader

import (
	"math"
	"sort"

	"kilopond/physiology/unit"
)

// An Entry is one attempt that counts for a student.
type Entry struct {
	Student string
	Mark    Mark
}

// A Standing is where a student stands over all attempts that count. A subject rightly refused counts with its few points in reach, not as
// a whole 100: points are added up before they are divided.
type Standing struct {
	Student    string
	Attempts   int
	Percent    *float64 // of all points in reach
	Pass       float64  // the line
	Passed     bool     // the gate open in every attempt, and the percentage reached
	GateClosed int      // attempts with a closed gate
	A, M, T    Spread
}

// A Spread is a student's margins of one kind, over the attempts that have one.
type Spread struct {
	N       int
	MeanAbs *float64 // mL/kg/min
	Bias    *float64 // signed mean, mL/kg/min
	Percent *float64 // mean of |%|
}

// Standings are the students in the order of their keys.
func Standings(entries []Entry) []Standing {
	of := map[string][]Mark{}
	for _, e := range entries {
		of[e.Student] = append(of[e.Student], e.Mark)
	}
	names := make([]string, 0, len(of))
	for name := range of {
		names = append(names, name)
	}
	sort.Strings(names)
	all := make([]Standing, 0, len(names))
	for _, name := range names {
		all = append(all, standing(name, of[name]))
	}
	return all
}

func standing(name string, marks []Mark) Standing {
	s := Standing{Student: name, Attempts: len(marks)}
	var earned, reachable, pass float64
	for _, m := range marks {
		e, r := m.Points()
		earned, reachable = earned+e, reachable+r
		pass = max(pass, m.PassPercent)
		if len(m.Gate) > 0 {
			s.GateClosed++
		}
		s.A.add(m.Margins.A)
		s.M.add(m.Margins.M)
		s.T.add(m.Margins.T)
	}
	s.Pass = pass
	if reachable > 0 {
		percent := unit.Round(100*earned/reachable, 1)
		s.Percent = &percent
		s.Passed = s.GateClosed == 0 && percent >= pass
	}
	for _, sp := range []*Spread{&s.A, &s.M, &s.T} {
		sp.close()
	}
	return s
}

func (s *Spread) add(m Margin) {
	if m.MlKgMin == nil {
		return
	}
	if s.N == 0 {
		s.MeanAbs, s.Bias, s.Percent = new(float64), new(float64), new(float64)
	}
	s.N++
	*s.MeanAbs += math.Abs(*m.MlKgMin)
	*s.Bias += *m.MlKgMin
	*s.Percent += math.Abs(*m.Percent)
}

// close turns sums into means.
func (s *Spread) close() {
	if s.N == 0 {
		return
	}
	n := float64(s.N)
	*s.MeanAbs, *s.Bias, *s.Percent = unit.Round(*s.MeanAbs/n, 2), unit.Round(*s.Bias/n, 2), unit.Round(*s.Percent/n, 1)
}
