package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// TestCourse digests a short attempt written event by event.
func TestCourse(t *testing.T) {
	h := &handmade{book: Default(), sex: "F", age: 30}
	at := func(s int, facts ...exercises.Fact) {
		h.clock = s
		for _, f := range facts {
			h.add(f)
		}
	}
	at(100, exercises.PulseFelt{FromS: 85, Seconds: 15, Tenths: make([]int, 17)})
	h.write(exercises.KeyHR, "68", 0, 0)
	at(200, exercises.PedallingStarted{})
	at(320, exercises.StageStarted{Stage: 1, ResistanceKp: 0.5})
	at(380, exercises.PulseFelt{FromS: 365, Seconds: 15, Tenths: make([]int, 23)})
	h.write(exercises.KeyBeats, "23", 1, 1)
	h.write(exercises.KeyHR, "138", 1, 1) // 23 × 6, struck out below
	h.write(exercises.KeyHR, "92", 1, 1)
	at(385, exercises.Struck{Item: 3})
	at(440, exercises.PulseFelt{FromS: 425, Seconds: 15, Tenths: make([]int, 24)})
	h.write(exercises.KeyHR, "92", 1, 2) // corrected without striking: the later one counts
	h.write(exercises.KeyHR, "96", 1, 2)
	at(470, exercises.CuffFell{FromS: 430, TopMmHg: 170, ValveMmHgS: 2, Heard: ".....tttttttttttttttttttttttttttttttttttttt......"})
	h.write(exercises.KeyBP, "160/84", 1, 0)
	at(500, exercises.PulseFelt{FromS: 490, Seconds: 10, Tenths: make([]int, 9), CutShort: true})
	at(505, exercises.ExertionGiven{RPE: 11})
	at(510, exercises.Extended{Stage: 1})
	at(560, exercises.StageStarted{Stage: 2, ResistanceKp: 1.5})
	at(600, exercises.ResistanceSet{ResistanceKp: 2})
	at(620, exercises.BeatsTimed{FromS: 607, Beats: 30, Tenths: 150})
	at(740, exercises.TestEnded{How: exercises.CoolDown, ResistanceKp: 0.5})
	at(800, exercises.PulseFelt{FromS: 785, Seconds: 15, Tenths: make([]int, 25)})
	h.write(exercises.KeyHR, "100", exercises.RecoveryStage, 1)
	at(900, exercises.PedallingStopped{})
	at(1000, exercises.Released{})
	at(1010, exercises.HandedIn{Counts: []exercises.CountTruth{{FromS: 365, HRbpm: 93.4}}, Cuffs: []exercises.CuffTruth{{FromS: 430, SBPmmHg: 158.2, DBPmmHg: 83.1}}})
	c := h.course(t)

	type place struct {
		stage, minute int
		hr, read      unit.HR
	}
	want := []place{{0, 0, 68, 68}, {1, 1, 92, 92}, {1, 2, 96, 96}, {1, 3, 54, 54}, {2, 1, 120, 120}, {exercises.RecoveryStage, 1, 100, 100}}
	if len(c.Counts) != len(want) {
		t.Fatalf("%d counts, want %d", len(c.Counts), len(want))
	}
	for i, k := range c.Counts {
		if got := (place{k.Stage, k.Minute, k.HR, k.Reading()}); got != want[i] {
			t.Errorf("count %d: %+v, want %+v", i, got, want[i])
		}
	}
	if k := c.Counts[1]; k.WroteBeats == nil || *k.WroteBeats != 23 || k.True != 93.4 {
		t.Errorf("minute 1: %+v", k)
	}
	if !c.Counts[3].CutShort || c.Counts[3].WroteHR != nil || !c.Counts[4].Timed {
		t.Errorf("counts 3 and 4: %+v, %+v", c.Counts[3], c.Counts[4])
	}
	if k := c.Cuffs[0]; k.Systolic != 158 || k.Diastolic != 84 || k.WroteSystolic == nil || *k.WroteSystolic != 160 || *k.WroteDiastolic != 84 || k.TrueSystolic != 158.2 || k.Stage != 1 {
		t.Errorf("cuff: %+v", k)
	}
	if len(c.Stages) != 2 {
		t.Fatalf("%d stages", len(c.Stages))
	}
	one, two := c.Stages[0], c.Stages[1]
	if one.FromS != 320 || one.ToS != 560 || one.WorkRate != 150 || len(one.Extensions) != 1 || len(one.Changes) != 0 || one.Last {
		t.Errorf("stage 1: %+v", one)
	}
	if two.FromS != 560 || two.ToS != 740 || two.WorkRate != 450 || len(two.Changes) != 1 || two.Changes[0] != (LoadChange{600, 2}) || !two.Last {
		t.Errorf("stage 2: %+v", two)
	}
	if c.PedalAtS != 200 || c.EndedAtS != 740 || c.EndedHow != exercises.CoolDown || c.EndedKp != 0.5 || c.StoppedAtS != 900 || c.ReleasedAtS != 1000 {
		t.Errorf("times: %d %d %s %v %d %d", c.PedalAtS, c.EndedAtS, c.EndedHow, c.EndedKp, c.StoppedAtS, c.ReleasedAtS)
	}
	if len(c.Exertions) != 1 || c.Exertions[0] != (Exertion{505, 11, 1}) {
		t.Errorf("exertion: %+v", c.Exertions)
	}
	// A stage within which the load was changed is void, whatever its heart rates.
	for _, p := range WorkSheet(h.book, c).Points {
		if p.Stage == 2 && (p.Used || p.Why != "the load was changed within the stage") {
			t.Errorf("stage 2 on the sheet: %+v", p)
		}
	}
}

// TestPressuresWritten reads what stands in the box of a pressure.
func TestPressuresWritten(t *testing.T) {
	for _, c := range []struct {
		text     string
		sys, dia unit.Pressure
		ok       bool
	}{
		{"148/72", 148, 72, true},
		{"178/70/0", 178, 70, true},  // sounds to nothing: where they were muffled counts
		{"178/84/76", 178, 76, true}, // the last sound
		{"148", 0, 0, false},
		{"148/", 0, 0, false},
		{"high/low", 0, 0, false},
		{"", 0, 0, false},
	} {
		s, d := pressures(c.text)
		if (s != nil) != c.ok || (d != nil) != c.ok || c.ok && (*s != c.sys || *d != c.dia) {
			t.Errorf("%q: %v %v", c.text, s, d)
		}
	}
}
