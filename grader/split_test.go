package grader

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// opened is the report of a whole test by the reference proctor on a subject, with its T taken apart.
func opened(t testing.TB, b Rulebook, sc scenarios.Scenario) (Report, *Course, *Played) {
	t.Helper()
	p, err := Play(b, sc)
	if err != nil {
		t.Fatal(err)
	}
	c := ReadState(b, p.Session.State())
	return Grade(b, c).WithSplit(b, c, p.Session), c, p
}

func library(t testing.TB, id string) scenarios.Case {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// of is the contribution of a cause; NaN when it has no number.
func (s *Split) of(cause Cause) float64 {
	for _, c := range append(s.Causes, s.Remainder) {
		if c.Cause == cause && c.MlKgMin != nil {
			return *c.MlKgMin
		}
	}
	return math.NaN()
}

// What the causes come to and the remainder make T, over 200 attempts with every sort of person; each contribution is the step between the two
// estimates beside it, the first is A, and the last estimate less the truth is the remainder.
func TestSplitMakesT(t *testing.T) {
	b := Default()
	n, whole, cases := 0, 0, map[string]bool{}
	for seed := scenarios.Seed(0); n < 200; seed++ {
		for _, id := range scenarios.IDs() {
			c := library(t, id)
			if n == 200 || c.RightAct == scenarios.DoNotTest && seed > 0 {
				continue
			}
			r, _, _ := opened(t, b, c.Draw(seed))
			if r.Margins.T.MlKgMin == nil {
				if r.Split != nil {
					t.Fatalf("%s, seed %d: a split of nothing", id, seed)
				}
				continue
			}
			n++
			cases[id] = true
			name := fmt.Sprintf("%s, seed %d", id, seed)
			s := r.Split
			ml, percent := *s.Remainder.MlKgMin, *s.Remainder.Percent
			all := true
			before := r.Student.VO2Rel
			for i, k := range s.Causes {
				if k.Cause != Causes()[i] || k.What == "" {
					t.Errorf("%s: %s stands at place %d and says %q", name, k.Cause, i, k.What)
				}
				if k.MlKgMin == nil {
					all = false
					if k.WhyNot == "" {
						t.Errorf("%s: %s has no number and no reason", name, k.Cause)
					}
				} else {
					ml, percent = ml+*k.MlKgMin, percent+*k.Percent
					if math.Abs(*before-*k.Then-*k.MlKgMin) > 0.0101 {
						t.Errorf("%s: %s is %v, between %v and %v", name, k.Cause, *k.MlKgMin, *before, *k.Then)
					}
				}
				before = k.Then
			}
			if unit.Round(ml, 2) != *r.Margins.T.MlKgMin || unit.Round(percent, 1) != *r.Margins.T.Percent {
				t.Errorf("%s: together %v and %v %%, T is %v and %v %%", name, ml, percent, *r.Margins.T.MlKgMin, *r.Margins.T.Percent)
			}
			if a := r.Margins.A.MlKgMin; a != nil && unit.Round(s.of(CauseArithmetic)-*a, 2) != 0 {
				t.Errorf("%s: arithmetic is %v, A is %v", name, s.of(CauseArithmetic), *a)
			}
			if all {
				whole++
				if last := s.Causes[len(s.Causes)-1]; math.Abs(*last.Then-*s.Remainder.Then-*s.Remainder.MlKgMin) > 0.035 { // seven roundings
					t.Errorf("%s: the remainder is %v, what is left %v − %v", name, *s.Remainder.MlKgMin, *last.Then, *s.Remainder.Then)
				}
			}
		}
	}
	t.Logf("%d attempts at %d cases, %d with every cause estimable", n, len(cases), whole)
	if len(cases) < 30 || whole < 150 {
		t.Errorf("%d attempts at %d cases, %d of them with every cause estimable", n, len(cases), whole)
	}
}

// even is a person in whom the method is right: own maximum as predicted, heart rate straight on work, the published cost, a day like any other,
// no creep and no slow component, a rhythm that is kept. Each test puts one thing back.
func even(sc scenarios.Scenario) scenarios.Scenario {
	t := &sc.Traits
	t.Mass = unit.Mass(math.Round(float64(t.Mass)))
	t.TrueMaxHR = unit.HR(220 - float64(t.Age))
	t.VO2Rest, t.UnloadedCost, t.O2Cost = unit.VO2(3.5*float64(t.Mass)), unit.VO2(3.5*float64(t.Mass)), 1.8*float64(unit.Watt)
	t.Bend, t.DriftExtra, t.Threshold = 0, -5, 1
	t.HRTauZ, t.FitnessZ, t.CadenceSD, t.CadenceOffset = -2.5, 2, 0, 0
	sc.Day = body.Day{}
	sc.BrakeZero, sc.Equipment = 0, scenarios.Equipment{}
	return sc
}

// perfectSheet plays the attempt again with the perfect rates written in the place of the counted ones.
func perfectSheet(t *testing.T, b Rulebook, sc scenarios.Scenario, p *Played) (Report, bool) {
	t.Helper()
	_, closing, _ := opened(t, b, sc)
	s := exercises.Begin(p.Session.State().Header, sc)
	for _, l := range p.Lines {
		cmd := l.Command
		cmd.Entries = slices.Clone(cmd.Entries)
		for i, e := range cmd.Entries {
			for _, m := range closing.Closing.Minutes {
				if e.Key == exercises.KeyHR && m.Stage == e.Stage && m.Minute == e.Minute {
					cmd.Entries[i].Text = plainNumber(m.HRbpm)
				}
			}
		}
		if _, err := s.Do(cmd); err != nil {
			t.Fatal(err)
		}
	}
	c := ReadState(b, s.State())
	r := Grade(b, c).WithSplit(b, c, s)
	return r, r.Split != nil && r.Worked.Estimable
}

// A cause that is not there adds nothing, and one that is put back shows where it belongs.
func TestSplitNamesTheCause(t *testing.T) {
	b := Default()
	c := library(t, "uneventful")
	n := 0
	for seed := range scenarios.Seed(25) {
		sc := even(c.Draw(seed))
		r, _, p := opened(t, b, sc)
		if r.Split == nil || !r.Worked.Estimable || r.Worked.Slope == 0 {
			continue
		}
		n++
		for _, cause := range []Cause{CauseMaximum, CauseOxygenCost, CauseBend} {
			if x := r.Split.of(cause); math.Abs(x) > 0.005 {
				t.Errorf("seed %d: %s adds %v to an even person", seed, cause, x)
			}
		}
		if x := r.Split.of(CauseRemainder); math.Abs(x) > 0.35 {
			t.Errorf("seed %d: remainder %v in an even person", seed, x)
		}
		if perfect, ok := perfectSheet(t, b, sc, p); ok {
			if x := perfect.Split.of(CauseCounting); x != 0 {
				t.Errorf("seed %d: counting adds %v to perfect readings", seed, x)
			}
			if x, y := perfect.Split.of(CauseCounting), r.Split.of(CauseCounting); x == y {
				t.Errorf("seed %d: the counts of the proctor were perfect", seed)
			}
		}
		faster := sc
		faster.Traits.TrueMaxHR += 12
		again, _, _ := opened(t, b, faster)
		if again.Split != nil && again.Worked.Estimable && !(again.Split.of(CauseMaximum) < -1) {
			t.Errorf("seed %d: a maximum 12 above the predicted one adds %v", seed, again.Split.of(CauseMaximum))
		}
		dear := sc
		dear.Traits.O2Cost -= 1
		again, _, _ = opened(t, b, dear)
		if again.Split != nil && again.Worked.Estimable && !(again.Split.of(CauseOxygenCost) > 0.8) {
			t.Errorf("seed %d: a watt that costs 1 mL/min less adds %v", seed, again.Split.of(CauseOxygenCost))
		}
		bent := sc // a curve that bends down lies below its own chord carried on: the chord meets the maximum too soon
		bent.Traits.Bend = 0.08
		again, _, _ = opened(t, b, bent)
		if again.Split != nil && again.Worked.Estimable && !(again.Split.of(CauseBend) < -0.8) {
			t.Errorf("seed %d: a line that bends down adds %v", seed, again.Split.of(CauseBend))
		}
	}
	if n < 20 {
		t.Errorf("%d people of 25 could be estimated", n)
	}
}

// A heart that is quick stands at its level at the end of a stage, apart from its wander of 0.8 bpm; one that is slow still is on its way, and there
// the cause is larger. Which way it goes depends on the steps: a large one before a small one leaves more to come in the lower stage.
func TestSplitSeesSlowHearts(t *testing.T) {
	b := Default()
	c := library(t, "uneventful")
	of := func(z, fitness float64) (lag, size float64) {
		n := 0.0
		for seed := range scenarios.Seed(80) {
			sc := even(c.Draw(seed))
			sc.Traits.HRTauZ, sc.Traits.FitnessZ = z, fitness
			r, course, p := opened(t, b, sc)
			if r.Split == nil || math.IsNaN(r.Split.of(CauseUnsteady)) || r.Worked.Slope == 0 {
				continue
			}
			n++
			size += r.Split.of(CauseUnsteady) * r.Split.of(CauseUnsteady)
			rates, ok := p.Session.RatesTo(course.Stages[len(course.Stages)-1].ToS)
			if !ok {
				t.Fatalf("seed %d: no rates of a closed attempt", seed)
			}
			lag += float64(rates.Settled - rates.Perfect)
		}
		return lag / n, math.Sqrt(size / n)
	}
	quickLag, quick := of(-2.5, 2) // time constant 20–25 s
	slowLag, slow := of(2.5, -2)   // about 110 s
	t.Logf("quick hearts: %.2f bpm to come, %.2f mL/kg/min (root mean square); slow ones: %.2f and %.2f", quickLag, quick, slowLag, slow)
	if math.Abs(quickLag) > 0.2 || slowLag < 1.5 || slow < 1.5*quick {
		t.Errorf("quick hearts: %.2f bpm to come, %.2f mL/kg/min (root mean square); slow ones: %.2f and %.2f", quickLag, quick, slowLag, slow)
	}
}

// An attempt that cannot be played again has the causes that need no body; the others say why, and lie in the remainder.
func TestSplitWithoutTheSubject(t *testing.T) {
	b := Default()
	r, c, _ := opened(t, b, library(t, "uneventful").Draw(3))
	older := *c
	older.Header.Model--
	s := Grade(b, &older).WithSplit(b, &older, nil).Split
	for i, k := range s.Causes {
		if i < 3 {
			if k.MlKgMin == nil || *k.MlKgMin != *r.Split.Causes[i].MlKgMin {
				t.Errorf("%s is not what it is with the subject", k.Cause)
			}
		} else if k.MlKgMin != nil || k.WhyNot == "" {
			t.Errorf("%s has a number, or no reason: %q", k.Cause, k.WhyNot)
		}
	}
	if want := fmt.Sprintf("begun with model %d; this program has %d", scenarios.Model-1, scenarios.Model); len(s.Causes[4].WhyNot) < len(want) || s.Causes[4].WhyNot[:len(want)] != want {
		t.Errorf("the reason is %q", s.Causes[4].WhyNot)
	}
}

// The line carried with nothing exchanged is the worked answer, to the last places.
func TestCarryIsTheWorkedAnswer(t *testing.T) {
	b := Default()
	c := library(t, "uneventful")
	for seed := range scenarios.Seed(40) {
		r, course, _ := opened(t, b, c.Draw(seed))
		if !r.Worked.Estimable {
			continue
		}
		var points []protocol.Point
		for _, p := range r.Worked.Points {
			if p.Used {
				points = append(points, p)
			}
		}
		rel, _, err := protocol.Carry(b.Rules, course.person(), points, r.Worked.MaxHR, bookCost(b, course.person()))
		if err != nil || math.Abs(float64(rel-r.Worked.VO2Rel)) > 1e-9 {
			t.Errorf("seed %d: %v, want %v (%v)", seed, rel, r.Worked.VO2Rel, err)
		}
	}
}

// BenchmarkSplit is what taking T apart adds to a report whose attempt was played again anyway.
func BenchmarkSplit(b *testing.B) {
	book := Default()
	r, c, p := opened(b, book, library(b, "uneventful").Draw(3))
	for b.Loop() {
		r.WithSplit(book, c, p.Session)
	}
}
