package grader

import (
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// replay calls visit with the state before each command of an attempt.
func replay(t *testing.T, st *student, visit func(s *exercises.State, right exercises.Command)) {
	t.Helper()
	session := exercises.Begin(st.header, st.scene)
	for _, l := range st.lines {
		visit(session.State(), l.Command)
		if _, err := session.Do(l.Command); err != nil {
			t.Fatal(err)
		}
	}
}

// TestAdviceLeadsWithTheReferenceProctor says that what the reference proctor does is acceptable, and first; that all advice can be done; and
// that it gives its reason and its source.
func TestAdviceLeadsWithTheReferenceProctor(t *testing.T) {
	book := Default()
	for _, id := range []caseID{well, chest, falls, unfit} {
		for seed := range scenarios.Seed(6) {
			st := play(t, book, mustCase(t, string(id)), seed, nil)
			p := NewProctor(book)
			replay(t, st, func(s *exercises.State, right exercises.Command) {
				list := p.Acceptable(s)
				if len(list) == 0 {
					t.Fatalf("%s seed %d at %d s: nothing is acceptable", id, seed, s.ClockS)
				}
				if a := list[0]; a.Act != right.Act || a.What != right.What || a.ResistanceKp != right.ResistanceKp {
					t.Errorf("%s seed %d at %d s: first %s %s, but the reference proctor does %s %s", id, seed, s.ClockS, a.Act, a.What, right.Act, right.What)
				}
				for _, a := range list {
					if a.Why == "" || a.Source == "" || strings.ToUpper(a.Source) != a.Source {
						t.Errorf("%s seed %d at %d s: %s without reason or source: %+v", id, seed, s.ClockS, a.Act, a)
					}
				}
			})
			if p.Acceptable(st.session.State()) != nil {
				t.Errorf("%s seed %d: advice after the sheet was handed in", id, seed)
			}
		}
	}
}

// TestDangerLeavesOneChoice says that with a sign of danger nothing but the stop is acceptable.
func TestDangerLeavesOneChoice(t *testing.T) {
	book := Default()
	stops := 0
	for seed := range scenarios.Seed(30) {
		st := play(t, book, mustCase(t, string(chest)), seed, nil)
		p := NewProctor(book)
		replay(t, st, func(s *exercises.State, right exercises.Command) {
			if right.Act != exercises.Stop || s.EndedAtS >= 0 {
				return
			}
			stops++
			if list := p.Acceptable(s); len(list) != 1 || list[0].Act != exercises.Stop {
				t.Errorf("seed %d at %d s: %+v", seed, s.ClockS, list)
			}
		})
	}
	if stops < 20 {
		t.Errorf("%d stops among 30 people: too few to say anything", stops)
	}
}

// TestMoreThanOneIsAcceptable says that the end of a stage close below the ceiling leaves a choice, and that before the test the order is free.
func TestMoreThanOneIsAcceptable(t *testing.T) {
	book := Default()
	choices, free := 0, 0
	for seed := range scenarios.Seed(120) {
		st := play(t, book, mustCase(t, string(well)), seed, nil)
		p := NewProctor(book)
		replay(t, st, func(s *exercises.State, right exercises.Command) {
			list := p.Acceptable(s)
			if s.PedalFromS < 0 && len(list) > 3 {
				free++
			}
			if right.Act == exercises.Stage || right.Act == exercises.Extend {
				for _, a := range list {
					if a.Act == exercises.CoolDown {
						choices++
					}
				}
			}
		})
	}
	if choices == 0 || free == 0 {
		t.Errorf("%d choices near the ceiling, %d free orders: want some of each", choices, free)
	}
}
