package grader

import (
	"strings"
	"testing"

	"kilopond/exercises"
)

// A pressure is one of its stage: whoever writes it beside another minute has written it.
func TestAPressureIsWrittenInItsStage(t *testing.T) {
	c := &Course{Cuffs: []CuffTake{
		{Stage: 1, Minute: 2, ToS: 100, Top: 180, Systolic: 120, Diastolic: 70, Sounded: true},
		{Stage: 2, Minute: 1, ToS: 300, Top: 180, Systolic: 140, Diastolic: 70, Sounded: true},
		{Stage: 2, Minute: 3, ToS: 400, Top: 180, Systolic: 150, Diastolic: 70, Sounded: true},
	}}
	for _, w := range []struct{ stage, minute, atS, want int }{
		{1, 2, 110, 100}, {1, 1, 110, 100}, {1, 0, 110, 100}, {2, 1, 500, 300}, {2, 2, 350, 300}, {2, 2, 500, 400}, {1, 1, 90, -1}, {3, 1, 500, -1},
	} {
		got := -1
		if k := c.cuffFor(exercises.Item{Key: exercises.KeyBP, Stage: w.stage, Minute: w.minute, AtS: w.atS}); k != nil {
			got = k.ToS
		}
		if got != w.want {
			t.Errorf("written at %d s for stage %d minute %d: the pressure of %d s, want %d", w.atS, w.stage, w.minute, got, w.want)
		}
	}
}

// Feeling again for half a minute after a gap is never at the wrong time; a short count, or one begun late or after an even pulse, is.
func TestFeelingAgainAfterAGapIsInTime(t *testing.T) {
	b := mustPreset(t, "four-band")
	for name, w := range map[string]struct {
		odd, seconds, fromS int
		want                bool
	}{
		"after two gaps": {2, 30, 111, true}, "after an even pulse": {0, 30, 111, false}, "a short count": {2, 15, 111, false}, "late": {2, 30, 100 + b.Stop.VerifyBeginS + findPulseS + 1, false},
	} {
		c := &Course{Counts: []Count{{FromS: 85, ToS: 100, Seconds: 15, Odd: w.odd}}}
		if got := followsOdd(b, c, Count{FromS: w.fromS, ToS: w.fromS + w.seconds, Seconds: w.seconds}); got != w.want {
			t.Errorf("%s: in time %v, want %v", name, got, w.want)
		}
	}
}

func TestOneStageIsNoLine(t *testing.T) {
	if one := usable([]string{"2"}); !strings.Contains(one, "only stage 2") || strings.Contains(one, "goes through") {
		t.Errorf("one stage: %q", one)
	}
	if two := usable([]string{"2", "3"}); two != "On your sheet the line goes through 2 and 3." {
		t.Errorf("two stages: %q", two)
	}
}
