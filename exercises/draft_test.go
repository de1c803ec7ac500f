package exercises

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

var testClock = time.Date(2026, 11, 1, 9, 0, 0, 0, time.UTC)

func testTerms() Terms {
	return Terms{
		Title: "Week 9", Model: scenarios.Model, RulebookHash: Sum([]byte("{}")), Rulebook: json.RawMessage("{}"), Attempts: 1,
		From: testClock, Until: testClock.Add(7 * 24 * time.Hour), Report: ReportHeld, Late: LateRefuse,
	}
}

func testClass(n int) []Entrant {
	var all []Entrant
	for i := range n {
		all = append(all, Entrant{Name: fmt.Sprintf("Student %d", i), Key: fmt.Sprintf("k%03d", i), TimeFactor: 1, Line: i + 2})
	}
	return all
}

func library(t testing.TB) []scenarios.Case {
	t.Helper()
	all, err := scenarios.Library()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func assign(t testing.TB, plan Plan, class []Entrant) (Assignment, []Pack) {
	t.Helper()
	d, err := NewDraft(plan, class, [32]byte{1, 2, 3}, testClock)
	if err != nil {
		t.Fatal(err)
	}
	var students []Student
	var packs []Pack
	for i := range d.Len() {
		m, err := d.Student(i)
		if err != nil {
			t.Fatal(err)
		}
		students, packs = append(students, m.Student), append(packs, m.Pack)
	}
	return d.Finish(students), packs
}

func gradedPlan(t testing.TB) Plan {
	return Plan{Terms: testTerms(), Mix: scenarios.Graded, Cases: library(t), Rules: protocol.Default()}
}

// Everybody has the same number of each kind, the same sum of difficulty and, but for one, the same rows of the branch table; nobody has anybody
// else's people.
func TestPacksAreBalancedAndDifferent(t *testing.T) {
	a, packs := assign(t, gradedPlan(t), testClass(60))
	spread := map[string]int{"not scored, so that nobody can count": 2, "uneventful": 2, "difficulty, scored subjects": 2}
	for _, r := range a.Balance(4) {
		t.Logf("%-60s %d %d %.2f", r.What, r.Least, r.Most, r.Mean)
		if r.Most-r.Least > max(spread[r.What], 1) {
			t.Errorf("%s: from %d to %d", r.What, r.Least, r.Most)
		}
	}
	met := map[string]string{}
	unscored := map[int]int{}
	for i, s := range a.Students {
		stops, n := 0, 0
		for _, x := range s.Subjects {
			d := x.Tries[0]
			at := fmt.Sprintf("%s %d", d.Case, d.Seed)
			if met[at] != "" {
				t.Errorf("%s and %s both meet %s", met[at], s.Name, at)
			}
			met[at] = s.Name
			if !d.Seed.OfPack() || d.Seed <= scenarios.MaxSeed {
				t.Errorf("seed %d can be typed", d.Seed)
			}
			if x.Scored && (x.Stratum == scenarios.MustStop || x.Stratum == scenarios.NotTested) {
				stops++
			}
			if !x.Scored {
				n++
			}
		}
		unscored[n]++
		if stops != 2 || len(s.Subjects) != 10 {
			t.Errorf("%s: %d scored must-stops in %d", s.Name, stops, len(s.Subjects))
		}
		if len(packs[i].Sealed) != len(packs[0].Sealed) {
			t.Errorf("%s: the length of what is sealed tells packs apart", s.Name)
		}
		if packs[i].Hash() != s.Pack || packs[i].Label != Label(s.Code) {
			t.Errorf("%s: pack and file do not agree", s.Name)
		}
	}
	if unscored[0] != 20 || unscored[1] != 20 || unscored[2] != 20 {
		t.Errorf("unscored must-stops: %v", unscored)
	}
}

func TestPackRoundTripAndSealing(t *testing.T) {
	plan := gradedPlan(t)
	plan.Terms.Attempts = 2
	a, packs := assign(t, plan, testClass(3))
	for i, s := range a.Students {
		raw, err := packs[i].Encode()
		if err != nil {
			t.Fatal(err)
		}
		p, err := ReadPack(raw)
		if err != nil || p.Hash() != s.Pack {
			t.Fatalf("%v", err)
		}
		in, err := p.Open(s.Code)
		if err != nil {
			t.Fatal(err)
		}
		for j, tries := range in.People {
			for k, x := range tries {
				_, want, ok := s.Place(j+1, k+1)
				if !ok || want.Case != x.Case || want.Seed != x.Seed {
					t.Errorf("subject %d, try %d: %v, want %v", j+1, k+1, x, want)
				}
			}
		}
		if _, err := p.Open(a.Students[(i+1)%3].Code); err == nil {
			t.Error("another student's code opens the pack")
		}
		if _, err := p.Open(Label(s.Code) + "-0000"); err == nil {
			t.Error("half a code opens the pack")
		}
	}
	raw, err := a.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ReadAssignment(raw); err != nil {
		t.Error(err)
	}
}

// A pack is the same for the same secret, plan and roster.
func TestPacksSameness(t *testing.T) {
	a, _ := assign(t, gradedPlan(t), testClass(5))
	b, _ := assign(t, gradedPlan(t), testClass(5))
	x, _ := a.Encode()
	y, _ := b.Encode()
	if string(x) != string(y) {
		t.Error("the same secret gives two assignments")
	}
	if a.Assignment != "9P4B-S5BE" || a.Students[0].Code != "RRRJ-TZMF" || a.Students[4].Code != "6BWW-CFJM" {
		t.Errorf("assignment %s, codes %s and %s: packs that were given out would change", a.Assignment, a.Students[0].Code, a.Students[4].Code)
	}
}

// The budget: packs for 300 students under 1 s.
func BenchmarkPacks300(b *testing.B) {
	plan := gradedPlan(b)
	class := testClass(300)
	for b.Loop() {
		a, packs := assign(b, plan, class)
		if _, err := a.Encode(); err != nil {
			b.Fatal(err)
		}
		for _, p := range packs {
			if _, err := p.Encode(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// A retest of stopping has people who must be stopped, every second one only looks like it, and cases that were met come last.
func TestLayoutOfARetest(t *testing.T) {
	plan := Plan{Terms: testTerms(), Rules: protocol.Default(), Subjects: 3, Retest: &Retest{Of: "A", Decision: "stop"}, Avoid: map[string][]string{}}
	for _, c := range library(t) {
		if slices.Contains(c.Practises(), "stop") {
			plan.Cases = append(plan.Cases, c)
		}
	}
	first, _ := assign(t, plan, testClass(4))
	for _, s := range first.Students {
		n := map[scenarios.Stratum]int{}
		for _, x := range s.Subjects {
			n[x.Stratum]++
			plan.Avoid[s.Key] = append(plan.Avoid[s.Key], x.Tries[0].Case)
		}
		if n[scenarios.MustStop]+n[scenarios.NotTested] != 2 || len(s.Subjects) != 3 {
			t.Errorf("%s: %v", s.Name, n)
		}
	}
	again, _ := assign(t, plan, testClass(4))
	for _, s := range again.Students {
		for _, x := range s.Subjects {
			if slices.Contains(plan.Avoid[s.Key], x.Tries[0].Case) {
				t.Errorf("%s meets %s again", s.Name, x.Tries[0].Case)
			}
		}
	}
}

// Who joins later, in two lots, leaves the packs of before as they were and the class as balanced as if all had come at once.
func TestWhoJoinsLater(t *testing.T) {
	a, _ := assign(t, gradedPlan(t), testClass(40))
	before := slices.Clone(a.Students)
	all := testClass(60)
	all[45].End = a.Until.Add(48 * time.Hour)
	for _, lot := range [][]Entrant{all[40:47], all[47:]} {
		d, err := Join(a, protocol.Default(), library(t), lot)
		if err != nil {
			t.Fatal(err)
		}
		var students []Student
		for i := range d.Len() {
			m, err := d.Student(i)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := m.Pack.Open(m.Student.Code); err != nil || m.Pack.Until != m.Student.Own(a.Terms).Until {
				t.Errorf("%s: until %v, %v", m.Student.Key, m.Pack.Until, err)
			}
			students = append(students, m.Student)
		}
		id := a.Assignment
		if a = d.Finish(students); a.Assignment != id {
			t.Errorf("another assignment: %s, was %s", a.Assignment, id)
		}
	}
	x, _ := json.Marshal(before)
	y, _ := json.Marshal(a.Students[:40])
	if string(x) != string(y) || len(a.Students) != 60 {
		t.Errorf("%d students, those of before changed: %v", len(a.Students), string(x) != string(y))
	}
	if raw, err := a.Encode(); err != nil {
		t.Error(err)
	} else if _, err := ReadAssignment(raw); err != nil {
		t.Error(err)
	}
	if late := a.Students[45].Own(a.Terms).DaysLate(a.Until.Add(24 * time.Hour)); late != 0 || a.Students[44].Own(a.Terms).DaysLate(a.Until.Add(24*time.Hour)) != 1 {
		t.Errorf("an own end does not hold: %d days late", late)
	}
	spread := map[string]int{"not scored, so that nobody can count": 2, "uneventful": 2, "difficulty, scored subjects": 2}
	for _, r := range a.Balance(4) {
		if r.Most-r.Least > max(spread[r.What], 1) {
			t.Errorf("%s: from %d to %d", r.What, r.Least, r.Most)
		}
	}
	met := map[Drawn]bool{}
	for _, s := range a.Students {
		for _, p := range s.Subjects {
			d := p.Tries[0]
			d.Band = 0
			if met[d] {
				t.Errorf("%s, seed %d: of two students", d.Case, d.Seed)
			}
			met[d] = true
		}
	}
	changed := library(t)
	for i := range changed {
		changed[i].Hash = Sum([]byte("another"))
	}
	if _, err := Join(a, protocol.Default(), changed, testClass(1)); err == nil {
		t.Error("packs are drawn from other cases than the assignment's")
	}
	retest := a
	retest.Retest = &Retest{Of: "A", Decision: "stop"}
	if _, err := Join(retest, protocol.Default(), library(t), testClass(1)); err == nil {
		t.Error("somebody joins a retest")
	}
}
