package grader

import (
	"fmt"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// The reason on the reference proctor's sheet is the one for which it ended the test: what it said then and what it wrote afterwards agree.
func TestReasonWrittenIsTheReason(t *testing.T) {
	words := map[string]string{ // in what was said at the end → in what is written
		"above the limit": "pressure above the limit", "does not hold": "the brake did not hold", "a submaximal test ends here": "exertion ", "the line can be drawn": "two steady stages",
	}
	met := map[string]int{}
	for _, id := range []string{"wednesday-one", "friday-two", "saturday-two", "uneventful", "wednesday-noon"} {
		c, err := scenarios.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		for seed := range scenarios.Seed(12) {
			p, err := Play(Default(), c.Draw(seed))
			if err != nil {
				t.Fatal(err)
			}
			said, wrote := "", ""
			for i, l := range p.Lines {
				if l.Command.Act == exercises.CoolDown {
					said = p.Why[i]
				}
				for _, e := range l.Command.Entries {
					if e.Key == exercises.KeyReason {
						wrote = e.Text
					}
				}
			}
			for has, want := range words {
				if strings.Contains(said, has) {
					met[has]++
					if !strings.Contains(wrote, want) {
						t.Errorf("%s, seed %d: ended for %q, wrote %q", id, seed, said, wrote)
					}
				}
			}
		}
	}
	if len(met) != len(words) {
		t.Errorf("met only %s", fmt.Sprint(met))
	}
}
