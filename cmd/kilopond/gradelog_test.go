package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kilopond/grader"
)

// Marks are recorded once; under other rules the differences are listed and the earlier mark stays where it was.
func TestRulesChangedMarksKept(t *testing.T) {
	folder := t.TempDir()
	at := filepath.Join(folder, "anna.jsonl")
	h, lines := playedBy(t, "uneventful", 5)
	writeAttempt(t, at, h, lines)
	log := filepath.Join(folder, "grades.jsonl")
	r, _ := graded(t, 0, folder, "--record")
	first, err := os.ReadFile(log)
	if err != nil || strings.Count(string(first), "\n") != 1 {
		t.Fatalf("log %q, %v", first, err)
	}
	graded(t, 0, folder, "--record")
	if again, _ := os.ReadFile(log); string(again) != string(first) {
		t.Error("the same mark was noted twice")
	}
	// The reference proctor counts 15 s; a house that asks for 10 s sees other things.
	other := []string{"--rulebook", "count-10", "--set", "pass_percent=100"}
	now, _ := graded(t, 0, append([]string{folder}, other...)...)
	if len(now.Changes) != 1 {
		t.Fatalf("changes %v", now.Changes)
	}
	c := now.Changes[0]
	if *c.Before.Percent != *r.Attempts[0].Percent || *c.Now.Percent == *c.Before.Percent || c.Before.Rulebook != "four-band" || c.Now.Rulebook != "count-10" {
		t.Errorf("change %+v", c)
	}
	graded(t, 0, append([]string{folder, "--record"}, other...)...)
	all, _ := os.ReadFile(log)
	if !strings.HasPrefix(string(all), string(first)) || strings.Count(string(all), "\n") != 2 {
		t.Errorf("the earlier mark was not kept:\n%s", all)
	}
}

// What an instructor decides stands beside the automatic mark, with its reason, and follows the attempt when its file is renamed.
func TestDecisions(t *testing.T) {
	folder := t.TempDir()
	at := filepath.Join(folder, "anna.jsonl")
	h, lines := playedBy(t, "uneventful", 5)
	writeAttempt(t, at, h, lines)
	before, _ := graded(t, 0, folder)
	note := func(want int, args ...string) string {
		t.Helper()
		_, errs, code := kilopond(t, "", append([]string{"grade", "note", at}, args...)...)
		if code != want {
			t.Fatalf("note %v: exit %d, %s", args, code, errs)
		}
		return errs
	}
	note(0, "--rule", "ceiling", "--credit", "0", "--because", "was told on the day and went on")
	note(0, "--mark", "4", "--because", "calm")
	if err := os.Rename(at, filepath.Join(folder, "anna-maria.jsonl")); err != nil {
		t.Fatal(err)
	}
	r, _ := graded(t, 0, folder)
	a, was := r.Attempts[0], before.Attempts[0]
	if *a.Percent != *was.Percent || !(*a.Decided.Percent < *a.Percent) || a.Mark == nil || *a.Mark != 4 || a.Comment != "calm" ||
		len(a.Overrides) != 1 || a.Overrides[0].Because == "" || *r.Students[0].Decided.Percent != *a.Decided.Percent {
		t.Errorf("%+v\nwas %+v", a, was)
	}
	out, _, _ := kilopond(t, "", "grade", filepath.Join(folder, "anna-maria.jsonl"))
	if !strings.Contains(out, "ceiling: credit 0.00. was told on the day") || !strings.Contains(out, "Mark 4 of 5. calm") {
		t.Errorf("the report does not say what was noted:\n%s", out)
	}
	at = filepath.Join(folder, "anna-maria.jsonl")
	note(0, "--rule", "ceiling", "--credit", "auto", "--because", "a mistake of mine")
	if r, _ := graded(t, 0, folder); len(r.Attempts[0].Overrides) != 0 || *r.Attempts[0].Decided.Percent != *was.Percent {
		t.Errorf("taken back, but %+v", r.Attempts[0])
	}
	for _, args := range [][]string{
		{"--mark", "6", "--because", "x"}, {"--mark", "0", "--because", "x"}, {"--mark", "3"}, {"--mark", "3", "--because", "  "}, {"--because", "x"},
		{"--rule", "ceiling", "--because", "x"}, {"--rule", "cieling", "--credit", "1", "--because", "x"}, {"--rule", "ceiling", "--credit", "2", "--because", "x"},
		{"--rule", "ceiling", "--credit", "NaN", "--because", "x"},
	} {
		if errs := note(2, args...); !strings.Contains(errs, "hint:") {
			t.Errorf("%v: %s", args, errs)
		}
	}
	if errs := note(1, "--rule", "stop-emergency", "--credit", "1", "--because", "x"); !strings.Contains(errs, "not reached") {
		t.Errorf("%s", errs)
	}
}

// Full credit opens the gate that the rule closed, and only that.
func TestADecisionOpensTheGate(t *testing.T) {
	m := grader.Mark{PassPercent: 85, Parts: []grader.PartScore{{Part: grader.Safety, Weight: 40}}, Gate: []string{"a", "b"}, Items: []grader.Item{
		{Rule: "ceiling", Part: grader.Safety, Places: 1, Points: 5, Closes: []string{"a"}},
		{Rule: "end-sign", Part: grader.Safety, Places: 2, Points: 15, Credit: 1, Closes: []string{"b"}},
	}}
	half := m.With([]grader.Override{{Rule: "ceiling", Credit: 0.5}})
	if len(half.Gate) != 2 || half.Passed || *half.Percent != 87.5 {
		t.Errorf("half credit: %v %v %v", half.Gate, half.Passed, *half.Percent)
	}
	one := m.With([]grader.Override{{Rule: "ceiling", Credit: 1}})
	if len(one.Gate) != 1 || one.Gate[0] != "b" || one.Passed {
		t.Errorf("one opened: %v %v", one.Gate, one.Passed)
	}
	both := m.With([]grader.Override{{Rule: "ceiling", Credit: 1}, {Rule: "end-sign", Credit: 1}})
	if len(both.Gate) != 0 || !both.Passed || *both.Percent != 100 {
		t.Errorf("both opened: %v %v", both.Gate, both.Passed)
	}
	if len(m.Gate) != 2 || m.Items[0].Credit != 0 {
		t.Error("the automatic mark was touched")
	}
}

// A log that cannot be read to its end is named; what stands before still counts; nothing is added behind an unfinished line.
func TestDamagedLogOfMarks(t *testing.T) {
	folder := t.TempDir()
	at := filepath.Join(folder, "anna.jsonl")
	h, lines := playedBy(t, "uneventful", 5)
	writeAttempt(t, at, h, lines)
	if _, errs, code := kilopond(t, "", "grade", "note", at, "--mark", "5", "--because", "x"); code != 0 {
		t.Fatal(errs)
	}
	log := filepath.Join(folder, "grades.jsonl")
	good, _ := os.ReadFile(log)
	if err := os.WriteFile(log, append(good, `{"kilopond":"grades/1","mood":3}`+"\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	r, _ := graded(t, 1, folder)
	if len(r.Problems) != 1 || r.Problems[0].Kind != "grades-log" || r.Attempts[0].Mark == nil {
		t.Errorf("problems %v, attempt %+v", r.Problems, r.Attempts[0])
	}
	if err := os.WriteFile(log, append(good, `{"kilopond":`...), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := kilopond(t, "", "grade", "note", at, "--mark", "5", "--because", "x"); code != 1 || !strings.Contains(errs, "never finished") {
		t.Errorf("exit %d: %s", code, errs)
	}
	if now, _ := os.ReadFile(log); string(now) != string(good)+`{"kilopond":` {
		t.Errorf("the log was changed: %s", now)
	}
}
