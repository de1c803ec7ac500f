package grader

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"sort"
	"testing"

	"kilopond/exercises"
)

// everyHabit plays each planted habit on one person, and the right way.
func everyHabit(t *testing.T, visit func(name string, st *student, c *Course, r Report)) {
	book, c := Default(), mustCase(t, "uneventful")
	var names []string
	for name := range habits() {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range append([]string{""}, names...) {
		var h habit
		if name != "" {
			h = habits()[name]()
		}
		st := play(t, book, c, 0, h)
		course := st.course(t)
		visit(name, st, course, Grade(book, course))
	}
}

// TestBooksBalance: over every habit, what was reached is what was earned and what the findings lost; a finding charged elsewhere loses nothing
// and names a rule that bore the cause; the percentage and the pass follow from the parts.
func TestBooksBalance(t *testing.T) {
	linked := 0
	everyHabit(t, func(name string, _ *student, c *Course, r Report) {
		earned, reachable := 0.0, 0.0
		for _, p := range r.Parts {
			if p.Earned < 0 || p.Earned > p.Reachable+0.005 || p.Reachable > p.Weight+0.005 {
				t.Errorf("%q: %+v", name, p)
			}
			lost := 0.0
			for _, f := range r.Findings {
				if f.Part == p.Part {
					lost += f.Lost
				}
			}
			if n := float64(len(r.Findings)); math.Abs(p.Earned+lost-p.Reachable) > 0.01+0.005*n {
				t.Errorf("%q: %s: %.2f reached, %.2f earned, %.2f lost", name, p.Part, p.Reachable, p.Earned, lost)
			}
			earned, reachable = earned+p.Earned, reachable+p.Reachable
		}
		if math.Abs(*r.Percent-100*earned/reachable) > 0.1 {
			t.Errorf("%q: %.1f %%, parts say %.2f", name, *r.Percent, 100*earned/reachable)
		}
		if r.Passed != (*r.Percent >= 85 && len(r.Gate) == 0) {
			t.Errorf("%q: passed %v at %.1f %% with gate %q", name, r.Passed, *r.Percent, r.Gate)
		}
		bears := charges(r)
		for _, f := range r.Findings {
			if f.ChargedTo == "" {
				continue
			}
			linked++
			if f.Lost != 0 || !slices.ContainsFunc(bears, func(by Finding) bool { return by.Rule == f.ChargedTo }) {
				t.Errorf("%q: %s is charged to %s, and loses %.2f", name, f.Rule, f.ChargedTo, f.Lost)
			}
		}
	})
	if linked == 0 {
		t.Error("no finding was charged elsewhere: the rule of one cause is not tried here")
	}
}

// TestSameBytes: one attempt always gives the same report, digested twice and graded twice, and the report holds no null list.
func TestSameBytes(t *testing.T) {
	everyHabit(t, func(name string, st *student, c *Course, r Report) {
		first, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		again, err := json.Marshal(Grade(st.book, st.course(t)))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Errorf("%q: two reports of one attempt differ", name)
		}
		var fields map[string]json.RawMessage
		if err := json.Unmarshal(first, &fields); err != nil {
			t.Fatal(err)
		}
		for _, list := range []string{"parts", "gate_closed", "timeline", "findings", "good", "slips", "notes"} {
			if raw := fields[list]; len(raw) == 0 || raw[0] != '[' {
				t.Errorf("%q: %s is %.10s, not a list", name, list, raw)
			}
		}
	})
}

// TestAbandoned: an attempt broken off anywhere is digested and judged, without the truth, and says so.
func TestAbandoned(t *testing.T) {
	book := Default()
	st := play(t, book, mustCase(t, "uneventful"), 3, nil)
	for n := 0; n < len(st.lines); n += 7 {
		c, err := Read(st.header, st.lines[:n])
		if err != nil {
			t.Fatal(err)
		}
		r := Grade(book, c)
		if r.Truth != nil || r.Margins.M.MlKgMin != nil || r.Margins.T.MlKgMin != nil || r.Perfect.Estimable {
			t.Errorf("after %d commands: the truth is told", n)
		}
		if !slices.Contains(r.Notes, "Not handed in: judged only on what was done, without the truth; it can be gone on with where it was left.") {
			t.Errorf("after %d commands: notes %q", n, r.Notes)
		}
		for _, f := range r.Findings {
			if f.Part == Arithmetic {
				t.Errorf("after %d commands: %s", n, line(f))
			}
		}
	}
}

// TestUntouchedAttempt: nothing done is nothing reached, not a full mark.
func TestUntouchedAttempt(t *testing.T) {
	book := Default()
	st := play(t, book, mustCase(t, "uneventful"), 3, nil)
	c, err := Read(st.header, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r := Grade(book, c); r.Passed {
		t.Errorf("an untouched attempt passes: %+v", r.Parts)
	}
}

// TestTimelineInOrder: the rows follow the clock and each says something.
func TestTimelineInOrder(t *testing.T) {
	everyHabit(t, func(name string, _ *student, c *Course, r Report) {
		before := 0
		for _, m := range r.Timeline {
			if m.AtS < before || m.Where == "" || m.Seen == "" && m.Done == "" && m.Could == "" {
				t.Errorf("%q: %+v after %d s", name, m, before)
			}
			before = m.AtS
		}
		for _, f := range charges(r) {
			if f.Part != Arithmetic && !slices.ContainsFunc(r.Timeline, func(m Moment) bool { return m.AtS == f.AtS && m.Could == f.Rule+": "+f.Should }) {
				t.Errorf("%q: %s is not on the time line", name, f.Rule)
			}
		}
	})
}

// TestGateOutlivesCharge: a cause is charged once, yet where the later rule closes the gate it stays closed.
func TestGateOutlivesCharge(t *testing.T) {
	shared := func(at int) Opportunity { return broken(at, 0, "one cause", "k", "d", "s") }
	judge := func(o Opportunity) func(Rulebook, *Course) []Opportunity {
		return func(Rulebook, *Course) []Opportunity { return []Opportunity{o} }
	}
	b := Rulebook{Weights: Weights{Safety: 10}, Points: map[string]float64{"first": 1, "second": 1}, PassPercent: 10}
	var r Report
	r.scoreBy(b, &Course{State: &exercises.State{}}, []Rule{
		{Name: "first", Part: Safety, Judge: judge(shared(1))},
		{Name: "second", Part: Safety, Judge: judge(shared(2).closing("shut"))},
	})
	if len(r.Gate) != 1 || r.Gate[0] != "shut" || r.Passed || *r.Percent != 0 {
		t.Errorf("gate %q, passed %v", r.Gate, r.Passed)
	}
	if p := r.Parts[0]; p.Reachable != 5 || p.Earned != 0 {
		t.Errorf("charged twice: %+v", p)
	}
}

// TestAnotherRulebook: a course graded under one rulebook is judged afresh under the next; nothing of the first verdict stays in it.
func TestAnotherRulebook(t *testing.T) {
	h := &handmade{book: Default(), sex: "M", age: 40, stages: handStages("150:104 300:112 450:127")}
	h.ride(70)
	h.calculate(rightSheet())
	h.handIn(35)
	c := h.course(t)
	other := Default()
	if err := other.SetAll([]string{"max_hr=202-0.72age", "o2_cost=leg_2.0_3.5"}); err != nil {
		t.Fatal(err)
	}
	first, under := Grade(h.book, c), Grade(other, c)
	if first.Worked.VO2Rel != 32.2 || under.Worked.VO2Rel == first.Worked.VO2Rel || len(first.Slips) != 0 || len(under.Slips) == 0 {
		t.Errorf("first %v with slips %v, then %v with slips %v", first.Worked.VO2Rel, first.Slips, under.Worked.VO2Rel, under.Slips)
	}
	if again := Grade(h.book, c); again.Worked.VO2Rel != first.Worked.VO2Rel || *again.Percent != *first.Percent {
		t.Error("the second rulebook has left something in the course")
	}
}
