package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

// A leg that hurts may rest before the cool-down is over; one that has stopped hurting, or a leg nobody knows of, does not shorten it.
func TestCoolDownEndsForALegThatHurts(t *testing.T) {
	for name, x := range map[string]struct {
		grade, toS int
		judged     bool
	}{"hurts": {3, 900, false}, "over": {3, 650, true}, "hardly": {1, 900, true}} {
		c := &Course{State: &exercises.State{Closed: true, ClockS: 1100}, PedalAtS: 100, EndedAtS: 600, EndedHow: exercises.CoolDown, StoppedAtS: 700, ReleasedAtS: 1000}
		c.Closing.Signs = []exercises.SignSpan{{Sign: string(body.LegPain), Channel: string(body.Unasked), Grade: x.grade, FromS: 550, ToS: x.toS}}
		if got := ruleCoolDown.Judge(Default(), c); len(got) > 0 != x.judged {
			t.Errorf("%s: %+v, want judged %v", name, got, x.judged)
		}
	}
}
