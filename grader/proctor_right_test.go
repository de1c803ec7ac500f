package grader

import (
	"reflect"
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// rightSeeds is how many subjects of each of the four cases the right way is tried on: 1000 in all.
const rightSeeds = 250

// TestRightWayLosesNothing plays correct tests, alone, with all the pressure of time that this brings: none may lose a point.
func TestRightWayLosesNothing(t *testing.T) {
	book := Default()
	ended := map[string]int{}
	for _, id := range []string{"uneventful", "thursday-three", "friday-nine", "tuesday-noon"} {
		c := mustCase(t, id)
		for seed := range scenarios.Seed(rightSeeds) {
			st := play(t, book, c, seed, nil)
			course := st.course(t)
			r := Grade(book, course)
			if r.Percent == nil || *r.Percent != 100 || !r.Passed || len(r.Gate) > 0 {
				for _, f := range charges(r) {
					t.Errorf("case %s seed %d: %s", id, seed, line(f))
				}
				t.Errorf("case %s seed %d: not the full points (gate %q)", id, seed, r.Gate)
			}
			switch {
			case !begun(course):
				ended[id+": not tested"]++
			case course.EndedHow == "stop":
				ended[id+": stopped at once"]++
			default:
				ended[id+": ended in good order"]++
			}
		}
	}
	t.Log(ended)
	// The cases must really ask for what the proctor is praised for.
	for what, atLeast := range map[string]int{"tuesday-noon: not tested": rightSeeds, "thursday-three: stopped at once": 200, "friday-nine: stopped at once": 100,
		"uneventful: ended in good order": rightSeeds} {
		if ended[what] < atLeast {
			t.Errorf("%s: %d of %d, want at least %d", what, ended[what], rightSeeds, atLeast)
		}
	}
}

// TestProctorNeverSeesTruth plays the same person well and with an illness, and expects the same command as long as all that could be
// seen, heard and measured was the same.
func TestProctorNeverSeesTruth(t *testing.T) {
	book := Default()
	c := mustCase(t, "uneventful")
	sick := c
	sick.Ills = []body.Ill{{Angina: &body.Angina{Threshold: body.Span{Low: 16000, High: 24000}}}}
	parted := 0
	for seed := range scenarios.Seed(40) {
		well, ill := play(t, book, c, seed, nil), play(t, book, sick, seed, nil)
		for i := range min(len(well.lines), len(ill.lines)) {
			a, b := well.lines[i], ill.lines[i]
			if !reflect.DeepEqual(a.Command, b.Command) {
				t.Fatalf("seed %d, command %d: %v with the well person, %v with the other, though all before was the same", seed, i, a.Command, b.Command)
			}
			if a.Command.Act != exercises.HandIn && !reflect.DeepEqual(a.Events, b.Events) {
				parted++
				break
			}
		}
	}
	if parted < 10 {
		t.Errorf("the illness showed in %d of 40 people: too few to say anything", parted)
	}
}

// TestRefusedSubjectEarnsAll says that a person rightly sent home is a whole attempt with full credit, and few points to reach.
func TestRefusedSubjectEarnsAll(t *testing.T) {
	book := Default()
	st := play(t, book, mustCase(t, "tuesday-noon"), 3, nil)
	r := Grade(book, st.course(t))
	if r.Percent == nil || *r.Percent != 100 || !r.Passed {
		t.Fatalf("percent %v, passed %v: want the full credit", r.Percent, r.Passed)
	}
	reachable := 0.0
	for _, p := range r.Parts {
		reachable += p.Reachable
	}
	if reachable <= 0 || reachable > 30 {
		t.Errorf("%.1f points could be reached: a refusal has few", reachable)
	}
}

// TestNoEstimateEarnsAll finds tests that cannot be estimated and expects full credit when that is said.
func TestNoEstimateEarnsAll(t *testing.T) {
	book := Default()
	if err := book.Set("one_point=none"); err != nil {
		t.Fatal(err)
	}
	c := mustCase(t, "thursday-three")
	found := 0
	for seed := scenarios.Seed(0); seed < 60 && found < 10; seed++ {
		st := play(t, book, c, seed, nil)
		course := st.course(t)
		r := Grade(book, course)
		if r.Worked.Estimable {
			continue
		}
		found++
		if r.Student.NoEstimate == "" || r.Percent == nil || *r.Percent != 100 {
			t.Errorf("seed %d: percent %v with “%s”", seed, r.Percent, r.Student.NoEstimate)
			for _, f := range charges(r) {
				t.Error(line(f))
			}
		}
		if r.Margins.A.Percent != nil || r.Margins.A.WhyNot == "" {
			t.Errorf("seed %d: a margin without an estimate", seed)
		}
	}
	if found < 10 {
		t.Errorf("only %d tests could not be estimated: too few to say anything", found)
	}
}
