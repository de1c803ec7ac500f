package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// handedOut is an assignment as it was given out, with its file.
type handedOut struct {
	exercises.Assignment
	file string
}

// assigned makes packs for students whose keys are given; change alters the terms.
func assigned(t *testing.T, keys []string, change func(*exercises.Terms)) handedOut {
	t.Helper()
	cases, err := scenarios.Library()
	if err != nil {
		t.Fatal(err)
	}
	b := grader.Default()
	begin := time.Date(2026, 11, 1, 9, 0, 0, 0, time.UTC)
	terms := exercises.Terms{
		Title: "Week 9", Model: scenarios.Model, RulebookHash: b.Hash(), Rulebook: b.JSON(), Attempts: 2,
		From: begin, Until: begin.Add(7 * 24 * time.Hour), Report: exercises.ReportHeld, Late: exercises.LateAccept,
	}
	if change != nil {
		change(&terms)
	}
	var class []exercises.Entrant
	for i, key := range keys {
		class = append(class, exercises.Entrant{Name: "Student " + key, Key: key, TimeFactor: 1, Line: i + 2})
	}
	d, err := exercises.NewDraft(exercises.Plan{Terms: terms, Mix: scenarios.Graded, Cases: cases, Rules: b.Rules}, class, [32]byte{7}, begin)
	if err != nil {
		t.Fatal(err)
	}
	var students []exercises.Student
	for i := range d.Len() {
		m, err := d.Student(i)
		if err != nil {
			t.Fatal(err)
		}
		students = append(students, m.Student)
	}
	out := handedOut{Assignment: d.Finish(students), file: filepath.Join(t.TempDir(), "assignment.json")}
	raw, err := out.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(out.file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	return out
}

// attempt is one subject of a student's pack by the reference proctor, handed in at a time.
func (o handedOut) attempt(t *testing.T, student, subject, try int, at time.Time) (exercises.Header, []exercises.Line) {
	t.Helper()
	s := o.Students[student]
	_, drawn, ok := s.Place(subject, try)
	if !ok {
		t.Fatal("no such place in the pack")
	}
	h, lines := playedBy(t, drawn.Case, drawn.Seed)
	h.Mode = "pack"
	h.Pack = &exercises.PackPlace{Hash: s.Pack, Assignment: o.Terms.Assignment, Code: s.Code, Subject: subject, Try: try,
		BegunAt: at.Add(-time.Hour), Report: o.Report, ReportFrom: o.Until}
	lines = slices.Clone(lines)
	lines[len(lines)-1].WallS = 3600
	return h, lines
}

// scored is the number of the nth subject that counts.
func (o handedOut) scored(student, nth int) int {
	for i, x := range o.Students[student].Subjects {
		if x.Scored {
			if nth--; nth < 0 {
				return i + 1
			}
		}
	}
	return 0
}

func TestAClassOfPacks(t *testing.T) {
	o := assigned(t, []string{"k1", "k2", "k3"}, nil)
	other := assigned(t, []string{"k1"}, func(terms *exercises.Terms) { terms.Title = "Week 10" })
	in := o.Until.Add(-time.Hour)
	folder := t.TempDir()
	put := func(name string, h exercises.Header, lines []exercises.Line) {
		writeAttempt(t, filepath.Join(folder, name), h, lines)
	}
	first, second := o.scored(0, 0), o.scored(0, 1)

	h, l := o.attempt(t, 0, first, 1, in)
	put("first-try.jsonl", h, l)
	h, l = o.attempt(t, 0, first, 2, in)
	put("second-try.jsonl", h, l)
	put("again.jsonl", h, l)
	h, l = o.attempt(t, 0, second, 1, o.Until.Add(25*time.Hour))
	put("late.jsonl", h, l)
	h, l = o.attempt(t, 1, o.scored(1, 0), 1, in)
	put("two.jsonl", h, l)
	put("k3/borrowed.jsonl", h, l) // handed in by a third, who had it of the second
	wrongPack := h
	place := *h.Pack
	place.Hash = strings.Repeat("a", 64)
	wrongPack.Pack = &place
	put("edited-pack.jsonl", wrongPack, l)
	easier, easy := playedBy(t, "uneventful", 3)
	easier.Pack = h.Pack
	put("easier.jsonl", easier, easy)
	stranger := h
	place2 := *h.Pack
	place2.Code = exercises.CodeOf(12345)
	stranger.Pack = &place2
	put("stranger.jsonl", stranger, l)
	h, l = playedBy(t, "uneventful", 4)
	put("practice.jsonl", h, l)
	h, l = other.attempt(t, 0, 1, 1, in)
	put("other.jsonl", h, l)

	r, _ := graded(t, 1, folder, "--key", o.file)
	for file, want := range map[string][]string{
		"first-try.jsonl": nil, "second-try.jsonl": {"duplicate"}, "again.jsonl": nil, "late.jsonl": {"late"}, "two.jsonl": {"duplicate"}, "borrowed.jsonl": {"two-names"},
		"edited-pack.jsonl": {"other-pack"}, "easier.jsonl": {"other-pack"}, "stranger.jsonl": {"nobody"}, "practice.jsonl": {"nobody"}, "other.jsonl": {"other-pack"},
	} {
		if got := kindsOf(r, file); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
	want := map[string]string{"first-try.jsonl": "an earlier try", "second-try.jsonl": "a second copy", "again.jsonl": "", "late.jsonl": "", "two.jsonl": "a second copy", "borrowed.jsonl": ""}
	for _, a := range r.Attempts {
		why, ok := want[filepath.Base(a.File)]
		if !ok || a.Why != why || a.Counted != (why == "") {
			t.Errorf("%s: counted %v, %q", a.File, a.Counted, a.Why)
		}
		if _, err := exercises.ParseReceipt(a.Receipt); err != nil || exercises.Receipt(a.Receipt) != exercises.ReceiptOf(a.Head) {
			t.Errorf("%s: receipt %q", a.File, a.Receipt)
		}
	}
	if len(r.Attempts) != len(want) {
		t.Errorf("%d attempts", len(r.Attempts))
	}
	byKey := map[string]studentRow{}
	for _, s := range r.Students {
		byKey[s.Student] = s
	}
	expected := 0
	for _, x := range o.Students[0].Subjects {
		if x.Scored {
			expected++
		}
	}
	if s := byKey["k1"]; s.Counted != 2 || s.Expected != expected || expected < 2 || s.Name != "Student k1" || s.Code != o.Students[0].Code {
		t.Errorf("k1: %+v", s)
	}
	if s := byKey["k1"]; s.Complete || s.Passed || s.Decided.Passed || s.Percent == nil {
		t.Errorf("k1, of whose pack most is missing: %+v", s)
	}
	if s, ok := byKey["k3"]; !ok || s.Files != 0 || s.Counted != 0 || s.Percent != nil {
		t.Errorf("k3, who handed in nothing: %+v", s)
	}

	// Without the instructor's file nothing that is held back is graded, alone or in a folder.
	r, _ = graded(t, 1, folder)
	for _, a := range r.Attempts {
		if a.Subject != nil {
			t.Errorf("%s was graded though it is held back", a.File)
		}
	}
	held := filepath.Join(folder, "two.jsonl")
	if out, errs, code := kilopond(t, "", "grade", held); code != 1 || out != "" || !strings.Contains(errs, "held back") {
		t.Errorf("held back: exit %d, %s%s", code, out, errs)
	}
	note := []string{"grade", "note", held, "--rule", "stop-emergency", "--credit", "1", "--because", "curious"}
	if out, errs, code := kilopond(t, "", note...); code != 1 || out != "" || !strings.Contains(errs, "held back") || strings.Contains(errs, "reached") {
		t.Errorf("a note on what is held back: exit %d, %s%s", code, out, errs)
	}
	if _, errs, code := kilopond(t, "", "grade", "note", held, "--mark", "3", "--because", "good", "--key", o.file); code != 0 {
		t.Errorf("a note with the key: exit %d, %s", code, errs)
	}
	if out, errs, code := kilopond(t, "", "grade", held, "--key", o.file); code != 0 || !strings.Contains(out, "Report") {
		t.Errorf("with the key: exit %d, %s", code, errs)
	}
	if out, errs, code := kilopond(t, "", "grade", held, "--key", other.file); code != 1 || out != "" {
		t.Errorf("with another key: exit %d, %s", code, errs)
	}
}

// What comes off for lateness is what the assignment says, and an assignment that takes nothing late counts nothing late.
func TestLateRules(t *testing.T) {
	for _, c := range []struct {
		rule    exercises.LateRule
		percent float64
		counted bool
		off     float64
	}{{exercises.LateAccept, 0, true, 0}, {exercises.LateDeduct, 5, true, 10}, {exercises.LateRefuse, 0, false, 0}} {
		o := assigned(t, []string{"k1"}, func(terms *exercises.Terms) { terms.Late, terms.LatePercent = c.rule, c.percent })
		folder := t.TempDir()
		h, l := o.attempt(t, 0, o.scored(0, 0), 1, o.Until.Add(30*time.Hour)) // the second day has begun
		writeAttempt(t, filepath.Join(folder, "a.jsonl"), h, l)
		r, _ := graded(t, 0, folder, "--key", o.file)
		a := r.Attempts[0]
		if a.LateDays != 2 || a.Counted != c.counted {
			t.Errorf("%s: %d days, counted %v", c.rule, a.LateDays, a.Counted)
		}
		if off := *a.Percent - *a.Decided.Percent; off < c.off-0.051 || off > c.off+0.051 {
			t.Errorf("%s: %.2f points off, want %.0f", c.rule, off, c.off)
		}
	}
}

// An attempt begun before there was a pack was begun by a clock that was set: it is named, and counts.
func TestBegunBeforeThePackWasThere(t *testing.T) {
	o := assigned(t, []string{"k1"}, nil)
	folder := t.TempDir()
	for i, c := range []struct {
		begun time.Time
		odd   bool
	}{{o.From.Add(-time.Minute), false}, {o.From.Add(-3 * time.Minute), true}} {
		h, l := o.attempt(t, 0, o.scored(0, i), 1, c.begun.Add(time.Hour))
		name := fmt.Sprintf("%d.jsonl", i)
		writeAttempt(t, filepath.Join(folder, name), h, l)
		r, _ := graded(t, 0, folder, "--key", o.file)
		if odd := slices.Contains(kindsOf(r, name), "early"); odd != c.odd || !r.Attempts[i].Counted {
			t.Errorf("begun %s: named %v, want %v; counted %v", c.begun, odd, c.odd, r.Attempts[i].Counted)
		}
	}
}

// A receipt given before the file finds a file that was rewritten, and one that never came.
func TestReceiptsBesideTheFiles(t *testing.T) {
	o := assigned(t, []string{"k1", "k2"}, nil)
	folder := t.TempDir()
	var receipts []string
	for s := range 2 {
		h, l := o.attempt(t, s, o.scored(s, 0), 1, o.Until.Add(-time.Hour))
		path := filepath.Join(folder, fmt.Sprintf("%d.jsonl", s))
		writeAttempt(t, path, h, l)
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		receipts = append(receipts, string(exercises.ReceiptOf(exercises.Read(raw).Last())))
	}
	never := string(exercises.ReceiptOf("never"))
	list := filepath.Join(folder, "receipts.csv")
	put := func(text string) {
		if err := os.WriteFile(list, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("who;receipt\nk1;" + receipts[0] + "\n" + o.Students[1].Code + ";" + receipts[1] + "\n")
	if r, _ := graded(t, 0, folder, "--key", o.file, "--receipts", list); len(r.Problems) != 0 {
		t.Errorf("all fit, but %v", r.Problems)
	}
	put("k1," + receipts[0] + "\nk2," + never + "\n")
	r, _ := graded(t, 1, folder, "--key", o.file, "--receipts", list)
	if got := kindsOf(r, "1.jsonl"); !slices.Equal(got, []string{"other-receipt"}) || len(kindsOf(r, "0.jsonl")) != 0 || !slices.Equal(kindsOf(r, "receipts.csv"), []string{"no-file"}) {
		t.Errorf("problems %v", r.Problems)
	}
	if len(r.Attempts) != 2 || !r.Attempts[1].Counted {
		t.Error("an attempt with another receipt is graded all the same")
	}
	put("k1,1234 5678 9013\nk2\n,x\n")
	if out, errs, code := kilopond(t, "", "grade", folder, "--key", o.file, "--receipts", list); code != 1 || out != "" || strings.Count(errs, "row ") != 3 {
		t.Errorf("exit %d, %s", code, errs)
	}
}
