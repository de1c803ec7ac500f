package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// What a card shows on the way of the reference proctor is what that proctor counted and wrote; beside the way the loads are those of the branch
// table, rates rise with them, and what was counted at the first stage is what leads to the column.
func TestCardsHoldTheWayAndTheWaysBesideIt(t *testing.T) {
	b := Default()
	ridden, others := 0, 0
	for _, id := range scenarios.IDs() {
		one, err := scenarios.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		for seed := range scenarios.Seed(2) {
			sc := one.Draw(seed)
			k, err := NewCard(b, sc)
			if err != nil {
				t.Errorf("%s %d: %v", id, seed, err)
				continue
			}
			played, err := Play(b, sc)
			if err != nil {
				t.Fatal(err)
			}
			c := ReadState(b, played.Session.State())
			if len(k.Stages) != len(c.Stages) {
				t.Errorf("%s %d: %d stages on the card, %d run", id, seed, len(k.Stages), len(c.Stages))
				continue
			}
			if !begun(c) {
				if len(k.Goes) == 0 || k.Decided == "test" || k.Decided == "" {
					t.Errorf("%s %d: not tested, by decision %q, and nothing for whoever tests all the same", id, seed, k.Decided)
				}
				continue
			}
			ridden++
			for i, s := range c.Stages {
				for _, r := range readings(c, s, s.ToS) {
					if r.Minute > len(k.Stages[i].Minutes) {
						t.Errorf("%s %d: stage %d has no minute %d", id, seed, s.Number, r.Minute)
					} else if m := k.Stages[i].Minutes[r.Minute-1]; m.HR != r.HR || m.Beats != r.Count.Beats || m.Seconds != r.Count.Seconds {
						t.Errorf("%s %d: stage %d minute %d shows %+v, counted %d in %d s", id, seed, s.Number, r.Minute, m, r.Count.Beats, r.Count.Seconds)
					}
				}
			}
			for _, o := range k.Other {
				others++
				last := k.Stages[0].Minutes[0].HR
				for i, s := range o.Stages {
					if want := protocol.WorkRateOfStage(b.Rules, o.Band, i+2); s.Number != i+2 || !sameLoad(s.WorkRate, want) {
						t.Errorf("%s %d: column %d has stage %d at %v, want %v", id, seed, o.Band, s.Number, s.WorkRate, want)
					}
					if n := len(s.Minutes); n > 0 && s.Minutes[n-1].HR > 0 && one.RightAct == scenarios.RunToEnd && s.Minutes[n-1].HR < last {
						t.Errorf("%s %d: column %d falls from %v to %v bpm at stage %d", id, seed, o.Band, last, s.Minutes[n-1].HR, s.Number)
					}
				}
			}
			if k.Recovery.Number != exercises.RecoveryStage || k.EndedBy == "" || k.EndedAtS < 0 {
				t.Errorf("%s %d: the end is missing: %q at %d", id, seed, k.EndedBy, k.EndedAtS)
			}
		}
	}
	if ridden < 40 || others < 40 {
		t.Errorf("only %d tests and %d columns beside them", ridden, others)
	}
}

// Under other rules too there is a card for everybody.
func TestCardsUnderOtherRules(t *testing.T) {
	for _, name := range []string{"three-band", "count-10", "reserve-70", "ceiling-150"} {
		b, err := Preset(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, id := range scenarios.IDs() {
			if i%7 != 0 {
				continue
			}
			one, err := scenarios.Load(id)
			if err != nil {
				t.Fatal(err)
			}
			k, err := NewCard(b, one.Draw(5))
			if err != nil {
				t.Errorf("%s, %s: %v", name, id, err)
			}
			if k.CountS != b.Count.Seconds {
				t.Errorf("%s: counts of %d s", name, k.CountS)
			}
		}
	}
}
