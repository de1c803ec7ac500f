package grader

import (
	"strings"
	"testing"

	"kilopond/exercises"
)

// A look that ended just before a sign showed does not stand for the sign in a finding.
func TestWordsAreThoseOfTheSign(t *testing.T) {
	seen := func(at int, words string) exercises.Event {
		return exercises.Event{AtS: at, Fact: exercises.Noticed{Words: words}}
	}
	c := &Course{State: &exercises.State{Events: []exercises.Event{
		seen(98, "Hums under the breath, legs turning evenly."), seen(100, "One palm flat on the shirt front."), seen(105, "Stiff in the saddle."),
	}}}
	for at, want := range map[int]string{100: "One palm flat on the shirt front.", 99: "One palm flat on the shirt front.", 106: "Stiff in the saddle.", 130: "it could have been seen, or heard by asking."} {
		if got := wordsAt(c, at); got != want {
			t.Errorf("at %d: %q, want %q", at, got, want)
		}
	}
}

// What was told wrongly is named in full, and once.
func TestCauseAndMedicineAreBothNamed(t *testing.T) {
	c := &Course{ReleasedAtS: 90, Prepared: []Step{{Act: exercises.Tell, What: "medicine", AtS: 47}, {Act: exercises.Tell, What: "cause", AtS: 57}}}
	got := ruleNoDiagnosis.Judge(Default(), c)
	if len(got) != 1 || got[0].Finding == nil || got[0].AtS != 47 {
		t.Fatalf("%+v, want one finding at 47 s", got)
	}
	for _, part := range []string{"behind it", "medicine"} {
		if !strings.Contains(got[0].Finding.Did, part) {
			t.Errorf("%q does not name %q", got[0].Finding.Did, part)
		}
	}
}
