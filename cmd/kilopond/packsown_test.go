package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
)

// A case of the instructor's own, which no student's program has.
const quilt = `id: quilt
title: Somebody for a fitness test
spoiler: A secret of the house.
teaches: Nothing new.
difficulty: 1
competency: [branch, stop]
right_act: run_to_end
who: {sexes: [M, F], age_y: {low: 22, high: 30}, resting_sbp_mmhg: {low: 110, high: 120}, resting_dbp_mmhg: {low: 64, high: 74}, resting_hr_bpm: {low: 60, high: 70}}
names:
  - {name: Ada Quill, sex: F, work: binds books}
  - {name: Ben Quill, sex: M, work: binds books}
health: []
voice:
  greeting: ["Hello."]
  consent: ["Yes."]
  looks: ["Walks in."]
sources: [CHOICE-CASES]
`

// An instructor's own case goes through the whole loop: handed out, worked, left and gone on with, graded and replayed by who has the instructor's file
// and by the student, shown, and drawn again for a retest.
func TestACaseOfTheInstructorsOwn(t *testing.T) {
	own := t.TempDir()
	if err := os.WriteFile(filepath.Join(own, "quilt.yaml"), []byte(quilt), 0o600); err != nil {
		t.Fatal(err)
	}
	d := packsFor(t, "--cases", own, "--report", "at_once", "--coach")
	must := func(stdin string, args ...string) string {
		t.Helper()
		out, errs, code := kilopondAt(t, noon, stdin, args...)
		if code != 0 {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		return out + errs
	}
	for range 3 { // each place is left once
		if _, errs, code := d.drill(noon, 0, "greet\n", "--coach"); code != 0 || !strings.Contains(errs, "go on:") {
			t.Fatalf("exit %d: %s", code, errs)
		}
		if _, errs, code := d.drill(noon.Add(time.Minute), 0, "decide refuse\nrelease\nhand in\n", "--out", d.dir); code != 0 {
			t.Fatalf("exit %d: %s", code, errs)
		}
	}
	file := ""
	handed, err := filepath.Glob(filepath.Join(d.dir, "*.jsonl"))
	if err != nil || len(handed) != 3 {
		t.Fatalf("%d files handed in: %v", len(handed), err)
	}
	for _, path := range handed {
		a, err := readAttempt(path)
		if err != nil {
			t.Fatal(err)
		}
		if a.Header.Case == "quilt" {
			file = path
		}
	}

	// On the student's machine, which keeps the pack, and elsewhere with the instructor's file or the folder.
	const played, unknown = "every reading played again", `the subject cannot be played again: no such case: "quilt"`
	if says := must("", "verify", file); !strings.Contains(says, played) {
		t.Errorf("where the pack was worked: %s", says)
	}
	here := must("", "grade", file)
	t.Setenv("XDG_DATA_HOME", filepath.Join(d.dir, "elsewhere"))
	if says := must("", "verify", file); !strings.Contains(says, unknown) {
		t.Errorf("elsewhere: %s", says)
	}
	for _, from := range [][]string{{"--key", d.own}, {"--cases", own}} {
		if says := must("", append([]string{"verify", file}, from...)...); !strings.Contains(says, played) {
			t.Errorf("%v: %s", from, says)
		}
		if there := must("", append([]string{"grade", file}, from...)...); there != here {
			t.Errorf("%v gives another report", from)
		}
	}
	var r classResult
	handIns := filepath.Join(d.dir, "handed")
	if err := os.Mkdir(handIns, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, path := range handed {
		if err := os.Rename(path, filepath.Join(handIns, filepath.Base(path))); err != nil {
			t.Fatal(err)
		}
	}
	if err := json.Unmarshal([]byte(must("", "grade", handIns, "--key", d.own, "--format", "json")), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Problems) > 0 || len(r.Attempts) != 3 {
		t.Errorf("%d attempts, problems %v", len(r.Attempts), r.Problems)
	}
	forged := filepath.Join(handIns, "forged.jsonl")
	data, err := os.ReadFile(filepath.Join(handIns, filepath.Base(file)))
	if err != nil {
		t.Fatal(err)
	}
	a, err := readAttempt(filepath.Join(handIns, filepath.Base(file)))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(forged, rechained(t, strings.Replace(string(data), a.Header.CaseHash, strings.Repeat("0", 64), 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, errs, code := kilopondAt(t, noon, "", "grade", forged, "--key", d.own); code != 1 || out != "" || !strings.Contains(errs, "made with another file of case quilt than the one that was assigned") {
		t.Errorf("an attempt at another file of the case: exit %d: %s%s", code, out, errs)
	}
	if err := os.Remove(forged); err != nil {
		t.Fatal(err)
	}
	must("", "class", "import", handIns, "--db", filepath.Join(d.dir, "class.db"))
	if out := must("", "grade", "--db", filepath.Join(d.dir, "class.db"), "--key", d.own, "--html", filepath.Join(d.dir, "pages")); strings.Contains(out, "other-case") {
		t.Errorf("from the class file: %s", out)
	}

	// Shown, spoilt, and drawn again.
	if out := must("", "assign", "show", d.packs[0], "--format", "json"); strings.Contains(out, "quilt") || strings.Contains(out, "secret") {
		t.Error("a pack shows its case without the instructor's file")
	}
	if out := must("", "assign", "show", d.packs[0], "--key", d.own); !strings.Contains(out, "quilt") || !strings.Contains(strings.Join(strings.Fields(out), " "), "A secret of the house.") {
		t.Errorf("with the instructor's file: %s", out)
	}
	again := filepath.Join(d.dir, "again")
	must("", "assign", "retest", d.own, "--decision", "stop", "--student", "1,2", "--subjects", "40", "--until", "2026-11-20", "--out", again)
	retest, err := readAssignment(filepath.Join(again, "assignment.json"))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(retest.Cases, func(c exercises.CaseRef) bool { return c.ID == "quilt" && c.File == quilt }) {
		t.Error("the retest draws from the library alone")
	}
	raw, err := os.ReadFile(filepath.Join(again, "assignment.json"))
	if err != nil {
		t.Fatal(err)
	}
	holds(t, "assignment", string(raw))
	later := filepath.Join(d.dir, "later.csv")
	if err := os.WriteFile(later, []byte("name,key\nAna Vell,1\nTom Orbin,2\nMia Sorrel,3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	must("", "assign", "add", d.own, "--roster", later)
	if all, err := readAssignment(d.own); err != nil || len(all.Students) != 3 || len(all.Students[2].Subjects) != 3 {
		t.Errorf("who joins later: %v, %v", all.Students, err)
	}
}

// The instructor's file with an edited case is refused, by whatever reads it.
func TestAnEditedOwnCaseIsRefused(t *testing.T) {
	own := t.TempDir()
	if err := os.WriteFile(filepath.Join(own, "quilt.yaml"), []byte(quilt), 0o600); err != nil {
		t.Fatal(err)
	}
	d := packsFor(t, "--cases", own)
	raw, err := os.ReadFile(d.own)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(d.own, []byte(strings.Replace(string(raw), "secret of the house", "secret of the horse", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"grade", d.dir, "--key", d.own}, {"assign", "show", d.packs[0], "--key", d.own}} {
		if out, errs, code := kilopondAt(t, noon, "", args...); code == 0 || out != "" || !strings.Contains(errs, `case "quilt": its file is not the one that was assigned`) {
			t.Errorf("%v: exit %d: %s%s", args, code, out, errs)
		}
	}
}

// rechained is a changed attempt with its chain made whole again.
func rechained(t *testing.T, text string) []byte {
	t.Helper()
	var out, last []byte
	for i, raw := range bytes.Split(bytes.TrimSuffix([]byte(text), []byte("\n")), []byte("\n")) {
		if i > 0 {
			l, err := exercises.DecodeLine(raw)
			if err != nil {
				t.Fatal(err)
			}
			l.Prev = exercises.Sum(last)
			if raw, err = exercises.EncodeLine(l); err != nil {
				t.Fatal(err)
			}
		}
		last = raw
		out = append(append(out, raw...), '\n')
	}
	return out
}
