package render

import (
	"bytes"
	"strings"
	"testing"

	"kilopond/grader"
	"kilopond/scenarios"
)

// played is a whole test by the reference proctor, judged under rules.
func played(t *testing.T, sets ...string) grader.Report {
	t.Helper()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	p, err := grader.Play(grader.Default(), c.Draw(3))
	if err != nil {
		t.Fatal(err)
	}
	b := grader.Default()
	if err := b.SetAll(sets); err != nil {
		t.Fatal(err)
	}
	return grader.Grade(b, grader.ReadState(b, p.Session.State()))
}

// The parts stand in the order of a verdict, and what happened to the person comes before what became of the number.
func TestOrderOfTheReport(t *testing.T) {
	r := played(t)
	r.Passed, r.Gate = false, []string{"a stop was missed"}
	r.Findings = []grader.Finding{
		{Rule: "sum-mets", Part: grader.Arithmetic, Lost: 1}, {Rule: "saddle", Part: grader.Procedure, Lost: 1}, {Rule: "warm-up", Part: grader.Validity, Lost: 9},
		{Rule: "consent", Part: grader.Safety, Stake: grader.StakeTrust, Lost: 1}, {Rule: "cool-down", Part: grader.Safety, Stake: grader.StakeInjury, Lost: 1},
		{Rule: "screen-health", Part: grader.Safety, Stake: grader.StakeLife, Lost: 5},
		{Rule: "stop-emergency", Part: grader.Safety, Stake: grader.StakeLife, Lost: 2, ClosesGate: "a stop was missed"},
		{Rule: "recovery-watched", Part: grader.Safety, Stake: grader.StakeLife, ChargedTo: "stop-emergency"},
	}
	o := OutlineOf(r)
	var order []string
	for _, s := range o.Sections {
		order = append(order, s.ID)
	}
	want := "verdict findings good points sheet course calculation margins truth sources practise next"
	if got := strings.Join(order, " "); got != want && got != strings.Replace(want, "good ", "", 1) {
		t.Errorf("sections %s\nwant %s", got, want)
	}
	var rules []string
	for _, b := range o.Sections[1].Blocks {
		if g, ok := b.(Group); ok {
			for _, f := range g.Items {
				if f.Number != len(rules)+1 {
					t.Errorf("%s bears number %d", f.Rule, f.Number)
				}
				rules = append(rules, f.Rule)
			}
		}
	}
	if got, want := strings.Join(rules, " "), "stop-emergency screen-health cool-down consent warm-up saddle sum-mets"; got != want {
		t.Errorf("findings %s\nwant %s", got, want)
	}
	var b bytes.Buffer
	if err := Report(&b, r); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Not passed.", "The gate is closed: a stop was missed.", "1. Safety", "closes the gate", "Follows from the above", Caution[:40]} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the text lacks %q", want)
		}
	}
}

// Each line of the text fits a screen of 80 columns, and every cited source is told in full.
func TestReportAsText(t *testing.T) {
	r := played(t, "warm_up_s=600", "ceiling.fraction=0.7", "cool_down.watch_s=900")
	if len(r.Findings) == 0 {
		t.Fatal("nothing was found to be shown")
	}
	// The longest lines there are: a margin that cannot be had, a source that is common practice.
	r.Margins.T = grader.Margin{WhyNot: "the heart rate goes from 120 to 121 bpm between stages 2 and 3; the rise must be more than 5"}
	r.Findings[0].Sources = append(r.Findings[0].Sources, "PRACTICE-EMERGENCY")
	var b bytes.Buffer
	if err := Report(&b, r); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if n := len([]rune(line)); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	_, written, _ := strings.Cut(b.String(), "Where it is written")
	for _, f := range r.Findings {
		for _, k := range f.Sources {
			if !strings.Contains(written, "\n"+k+"  ") {
				t.Errorf("source %s is cited and not listed", k)
			}
		}
	}
	if strings.Contains(b.String(), "not on our page of sources") {
		t.Error("a source has no row")
	}
}

// again is the command that brings the person again, or "".
func again(r grader.Report) string {
	for _, s := range OutlineOf(r).Sections {
		for _, b := range s.Blocks {
			if c, ok := b.(Choices); ok {
				for _, one := range c.Items {
					if strings.Contains(one.Command, "--seed") {
						return one.Command
					}
				}
			}
		}
	}
	return ""
}

// The same person can be met again only after the handing in, and never when assigned: no seed reaches the people of a pack.
func TestThisPersonAgain(t *testing.T) {
	r := played(t)
	if got := again(r); got != "kilopond drill uneventful --seed 3" {
		t.Errorf("after a drill: %q", got)
	}
	r.OfPack = true
	if got := again(r); got != "" {
		t.Errorf("of a pack: %q", got)
	}
	r.OfPack, r.Truth, r.Record.Signs = false, nil, nil
	if got := again(r); got != "" {
		t.Errorf("before the handing in: %q", got)
	}
	for _, s := range OutlineOf(r).Sections {
		if s.ID == "truth" {
			t.Error("the truth is told before the handing in")
		}
	}
}

// Margin T is taken apart once the report has that, in the part of the margins: each cause once, what has no number with its reason, and the picture.
func TestSplitInTheReport(t *testing.T) {
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	b := grader.Default()
	p, err := grader.Play(b, c.Draw(3))
	if err != nil {
		t.Fatal(err)
	}
	course := grader.ReadState(b, p.Session.State())
	text := func(r grader.Report) string {
		var w bytes.Buffer
		if err := Report(&w, r); err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(w.String()), " ")
	}
	plain := grader.Grade(b, course)
	if strings.Contains(text(plain), "taken apart") {
		t.Error("a report without a split speaks of one")
	}
	r := plain.WithSplit(b, course, p.Session)
	all := text(r)
	for i, k := range append(append([]grader.Contribution{}, r.Split.Causes...), r.Split.Remainder) {
		row := causeWords(k.Cause) + " " + Signed(*k.MlKgMin, 2) + " mL/kg/min (" + Signed(*k.Percent, 1) + " %): " + k.What
		if causeWords(k.Cause) == "" || strings.Count(all, row) != 1 {
			t.Errorf("cause %d does not stand there once: %q", i, row)
		}
	}
	if !strings.Contains(all, "What T is made of: ") {
		t.Error("the picture is not told")
	}
	older := text(plain.WithSplit(b, course, nil))
	if !strings.Contains(older, "Oxygen cost none (the case is not here as it was, so the test cannot be played again): ") || !strings.Contains(older, "Causes without a number are in it too.") {
		t.Error("an attempt that cannot be played again does not say so")
	}
	far := 1e9
	r.Margins.T.MlKgMin = &far
	if strings.Contains(text(r), "taken apart") {
		t.Error("a number that nobody means is taken apart")
	}
}

// Before the pedals turn the clock of the attempt is that of the part: it is told once.
func TestCourseTellsTheTimeOnce(t *testing.T) {
	r := grader.Report{Timeline: []grader.Moment{{AtS: 10, Where: "before the test, 0:10", Seen: "Comes in."}, {AtS: 800, Where: "stage 1, 0:40", Seen: "Hums."}}}
	rows := timeTable(r, nil).Rows
	if rows[0].Where != "before the test" || rows[1].Where != "stage 1, 0:40" {
		t.Errorf("%q and %q", rows[0].Where, rows[1].Where)
	}
}
