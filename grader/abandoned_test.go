package grader

import (
	"slices"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// An attempt left in the middle of an emergency, one second after the stop: it is told what is still open, and nothing is said of a needless stop or of
// somebody who was let go, which nobody can know or nobody did.
func TestLeftInTheMiddleOfAnEmergency(t *testing.T) {
	book, c := Default(), mustCase(t, string(chest))
	for seed := range scenarios.Seed(10) {
		st := play(t, book, c, seed, nil)
		end := slices.IndexFunc(st.lines, func(l exercises.Line) bool { return l.Command.Act == exercises.Stop })
		course, err := Read(st.header, st.lines[:end+1])
		if err != nil {
			t.Fatal(err)
		}
		r := Grade(book, course)
		for _, f := range r.Findings {
			if f.Rule == ruleFalseStop.Name || f.Rule == ruleCoolDown.Name || strings.Contains(f.Did, "let the person go") || strings.Contains(f.Did, "handed in") {
				t.Errorf("seed %d: %s", seed, line(f))
			}
		}
		if r.Truth != nil || r.Passed || !slices.ContainsFunc(r.Notes, func(n string) bool { return strings.HasPrefix(n, "Not handed in: ") }) {
			t.Errorf("seed %d: truth %v, passed %v, notes %v", seed, r.Truth, r.Passed, r.Notes)
		}
		open := slices.IndexFunc(charges(r), func(f Finding) bool { return f.Rule == ruleRecoveryWatched.Name })
		if open < 0 || !strings.HasPrefix(charges(r)[open].Did, "You left the attempt there") {
			t.Errorf("seed %d: %v", seed, charges(r))
		}
	}
}
