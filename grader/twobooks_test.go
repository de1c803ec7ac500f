package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// ridden is a course of stages of three minutes with the pulse of each minute, ended by a planned cool-down; the person is a woman of forty: predicted
// maximum 180, ceiling 153 bpm.
func ridden(loads []unit.Resistance, pulses ...[]unit.HR) *Course {
	c := &Course{PedalAtS: 0, EndedHow: exercises.CoolDown, StoppedAtS: -1, ReleasedAtS: -1, State: &exercises.State{}}
	c.Closing.Truth.Sex, c.Closing.Truth.AgeY = "F", 40
	at := 120
	for i, minutes := range pulses {
		s := StageRun{Number: i + 1, FromS: at, Resistance: loads[i], WorkRate: loads[i].WorkRate(50), Last: i == len(pulses)-1}
		for m, hr := range minutes {
			mark := at + 60*(m+1)
			c.Counts = append(c.Counts, Count{FromS: mark - 15, ToS: mark, Seconds: 15, Beats: int(hr / 4), HR: hr, Stage: i + 1, Minute: m + 1})
		}
		at += 60*len(minutes) + 5
		s.ToS = at
		c.Stages = append(c.Stages, s)
	}
	c.EndedAtS = at
	return c
}

// keeps says whether a rule finds nothing at all.
func keeps(r Rule, b Rulebook, c *Course) bool {
	for _, o := range r.Judge(b, c) {
		if o.Finding != nil {
			return false
		}
	}
	return true
}

// The same attempt under two textbooks has the two verdicts that those books would give: exactly 5 bpm apart ("within 5" and "less than 5"), a first
// stage of exactly 90 bpm ("90 to 100" and "80 to 90"), an end at 146 bpm under a ceiling of 153 ("at 85 %" and "within 10 of it").
// Source: protocol notes, the versions met in print: [CSEP2009], [HAND], [KINE4315], [DACUMA].
func TestTwoBooksTwoVerdicts(t *testing.T) {
	for _, c := range []struct {
		name      string
		rule      Rule
		course    *Course
		other     func(*Rulebook)
		ours, his bool // whether the rule is kept under ours, and under the other
	}{
		{"exactly 5 bpm", ruleSteadyAccepted, ridden([]unit.Resistance{0.5, 1.5, 2}, []unit.HR{88, 92, 92}, []unit.HR{110, 115, 120}, []unit.HR{124, 128, 128}),
			func(b *Rulebook) { b.Steady = "lt5" }, true, false},
		{"90 bpm", ruleBranchColumn, ridden([]unit.Resistance{0.5, 1.5}, []unit.HR{84, 88, 90}, []unit.HR{110, 116, 116}),
			func(b *Rulebook) { b.Bands[1] = protocol.Band{UpTo: 90, WorkRates: b.Bands[1].WorkRates} }, true, false},
		{"within 10 of the ceiling", ruleStageCount, ridden([]unit.Resistance{0.5, 1.5}, []unit.HR{92, 96, 96}, []unit.HR{140, 144, 146}),
			func(b *Rulebook) { b.End = "within10" }, false, true},
	} {
		ours, other := Default(), Default()
		c.other(&other)
		if got := keeps(c.rule, ours, c.course); got != c.ours {
			t.Errorf("%s: kept under ours: %v, want %v", c.name, got, c.ours)
		}
		if got := keeps(c.rule, other, c.course); got != c.his {
			t.Errorf("%s: kept under the other: %v, want %v", c.name, got, c.his)
		}
	}
}
