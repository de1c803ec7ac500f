package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// graded grades a folder as JSON, after its schema.
func graded(t *testing.T, want int, args ...string) (classResult, string) {
	t.Helper()
	out, errs, code := kilopond(t, "", append([]string{"grade", "--format", "json"}, args...)...)
	if code != want {
		t.Fatalf("grade %v: exit %d, want %d: %s", args, code, want, errs)
	}
	holds(t, "grade-class", out)
	var r classResult
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	return r, errs
}

func kindsOf(r classResult, file string) []string {
	var kinds []string
	for _, p := range r.Problems {
		if filepath.Base(p.File) == file {
			kinds = append(kinds, p.Kind)
		}
	}
	return kinds
}

// Each thing that can be odd about a file is named, and nothing else is.
func TestAClassNamesWhatIsOdd(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	ha, a := playedBy(t, "uneventful", 1)
	hb, b := playedBy(t, "uneventful", 2)
	hc, c := playedBy(t, "tuesday-noon", 3)
	writeAttempt(t, at("anna.jsonl"), ha, a)
	writeAttempt(t, at("anna (1).jsonl"), ha, a)
	writeAttempt(t, at("bo.jsonl"), ha, a)
	writeAttempt(t, at("carl/1.jsonl"), hb, b)
	writeAttempt(t, at("carl/2.jsonl"), hc, c)
	writeAttempt(t, at("dora.jsonl"), hc, c[:len(c)-1]) // never handed in

	// Another's readings on the sheet of one's own subject.
	copied := typedFrom(t, 9, b)
	writeAttempt(t, at("emil.jsonl"), copied.header, copied.lines)

	// A reading changed, and the chain made to fit.
	forged := append([]exercises.Line{}, b...)
	forgedAt := -1
	for i, l := range forged {
		for k, e := range l.Events {
			if f, ok := e.Fact.(exercises.PulseFelt); ok && forgedAt < 0 {
				f.Tenths = append([]int{}, f.Tenths[1:]...)
				events := append([]exercises.Event{}, l.Events...)
				events[k].Fact = f
				forged[i].Events = events
				forgedAt = i + 2
			}
		}
	}
	writeAttempt(t, at("fay.jsonl"), hb, forged)

	helped := hc
	helped.Coached = true
	writeAttempt(t, at("mia.jsonl"), helped, c)

	other := ha
	other.Model++ // of a later program; there is no model below the first
	writeAttempt(t, at("gus.jsonl"), other, a)
	changed := ha
	changed.CaseHash = strings.Repeat("0", len(ha.CaseHash))
	writeAttempt(t, at("hal.jsonl"), changed, a)

	whole, err := os.ReadFile(at("carl/1.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.SplitAfter(string(whole), "\n")
	put := func(name, text string) {
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("ida.jsonl", strings.Join(rows[:20], "")+rows[20][:30])                    // cut off
	put("jon.jsonl", strings.Join(append(rows[:20:20], rows[21:]...), ""))         // a line is missing
	put("kay.jsonl", "")                                                           //
	put("notes.txt", "Dear diary,\n")                                              //
	put("lee.jsonl", strings.Replace(string(whole), `"steady"`, `"steadfast"`, 1)) // a rulebook that is none
	put(".hidden", "of no matter")

	if out, errs, code := kilopond(t, "", "grade", at("fay.jsonl")); code != 1 || out != "" || !strings.Contains(errs, "line "+strconv.Itoa(forgedAt)) {
		t.Errorf("alone, the forged file: exit %d, %s", code, errs)
	}
	r, errs := graded(t, 1, folder)
	for file, want := range map[string][]string{
		"anna.jsonl":     {"two-names"},
		"anna (1).jsonl": {"duplicate", "two-names"},
		"bo.jsonl":       {"two-names"},
		"1.jsonl":        {"equal-readings"},
		"2.jsonl":        nil,
		"dora.jsonl":     {"not-handed-in"},
		"emil.jsonl":     {"equal-readings"},
		"fay.jsonl":      {"not-as-played"},
		"gus.jsonl":      {"other-model"},
		"hal.jsonl":      {"other-case"},
		"ida.jsonl":      {"cut-off", "not-handed-in"},
		"jon.jsonl":      {"damaged"},
		"kay.jsonl":      {"not-an-attempt"},
		"notes.txt":      {"not-an-attempt"},
		".hidden":        nil,
		"mia.jsonl":      {"coached"},
	} {
		if got := kindsOf(r, file); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
	if got := kindsOf(r, "lee.jsonl"); len(got) != 1 || got[0] == "duplicate" {
		t.Errorf("lee.jsonl: %q, want one problem that keeps it from being graded", got)
	}
	for _, p := range r.Problems {
		if !strings.Contains(errs, p.File) {
			t.Errorf("stderr does not name %s", p.File)
		}
		if p.Kind == "not-as-played" && (p.Line == nil || *p.Line != forgedAt) {
			t.Errorf("not-as-played at line %v, want %d", p.Line, forgedAt)
		}
	}
	counted, listed := map[string]int{}, map[string]int{}
	for _, x := range r.Attempts {
		listed[x.Student]++
		if x.Counted {
			counted[x.Student]++
		}
	}
	for student, want := range map[string][2]int{"anna": {2, 1}, "bo": {1, 1}, "carl": {2, 2}, "dora": {1, 0}, "emil": {1, 1}, "fay": {0, 0}, "gus": {1, 1}, "ida": {1, 0}, "jon": {0, 0}, "mia": {1, 0}} {
		if got := [2]int{listed[student], counted[student]}; got != want {
			t.Errorf("%s: %d listed, %d counted, want %v", student, got[0], got[1], want)
		}
	}
	// No file is dropped: each is among the attempts or the problems.
	named := map[string]bool{}
	for _, x := range r.Attempts {
		named[x.File] = true
	}
	for _, p := range r.Problems {
		named[p.File] = true
	}
	if len(named) != 16 {
		t.Errorf("%d files named, want 16", len(named))
	}
	if len(r.Students) != 14 {
		t.Errorf("%d students, want 14", len(r.Students))
	}
}

// typed is an attempt that was typed.
type typed struct {
	header exercises.Header
	lines  []exercises.Line
}

// typedFrom plays a subject with the commands of another attempt that are possible there: the sheet says what was read of the other.
func typedFrom(t *testing.T, seed scenarios.Seed, lines []exercises.Line) typed {
	t.Helper()
	h, _ := playedBy(t, "uneventful", seed)
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	s := exercises.Begin(h, c.Draw(seed))
	out := typed{header: h}
	for _, l := range lines {
		if got, err := s.Do(l.Command); err == nil {
			out.lines = append(out.lines, got)
		}
	}
	if !s.State().Closed {
		t.Fatal("the copied test was not handed in")
	}
	return out
}

// A class without a fault exits 0; what it prints does not depend on the order in which files are named, and a file named twice is read once.
func TestAClassWithoutFaults(t *testing.T) {
	folder := t.TempDir()
	for i := range 3 {
		h, lines := playedBy(t, "uneventful", scenarios.Seed(i))
		writeAttempt(t, filepath.Join(folder, "s"+strconv.Itoa(i)+".jsonl"), h, lines)
	}
	long, wide := filepath.Join(folder, "long.csv"), filepath.Join(folder, "wide.csv")
	r, errs := graded(t, 0, folder, "--long", long, "--wide", wide)
	if errs != "" || len(r.Problems) != 0 || len(r.Attempts) != 3 {
		t.Fatalf("%d attempts, problems %v, stderr %q", len(r.Attempts), r.Problems, errs)
	}
	first, _, _ := kilopond(t, "", "grade", folder, "--format", "csv", "--long", long, "--wide", wide, "--force")
	second, _, _ := kilopond(t, "", "grade", filepath.Join(folder, "s2.jsonl"), filepath.Join(folder, "s1.jsonl"), filepath.Join(folder, "s0.jsonl"), filepath.Join(folder, "s1.jsonl"), "--format", "csv")
	if first != second {
		t.Errorf("the order of the arguments changes the result:\n%s\n%s", first, second)
	}
	rows := readCSV(t, long)
	sum := map[string]float64{}
	for _, row := range rows[1:] {
		x, err := strconv.ParseFloat(row[slices.Index(rows[0], "points_earned")], 64)
		if err != nil {
			t.Fatal(err)
		}
		sum[row[0]] += x
	}
	for _, a := range r.Attempts {
		var earned float64
		for _, p := range a.Parts {
			earned += p.Earned
		}
		if d := sum[a.Student] - earned; d > 0.05 || d < -0.05 {
			t.Errorf("%s: the long file adds up to %.2f, the report to %.2f", a.Student, sum[a.Student], earned)
		}
	}
	if got := readCSV(t, wide); len(got) != 4 || len(got[0]) < 70 {
		t.Errorf("wide: %d rows of %d columns", len(got), len(got[0]))
	}
}

func readCSV(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// A name that a spreadsheet would take for a formula does no harm, and a negative margin stays a number.
func TestNoCellIsAFormula(t *testing.T) {
	folder := t.TempDir()
	h, lines := playedBy(t, "uneventful", 5)
	for _, name := range []string{"=1+1", "+1", "-1", "@sum"} {
		writeAttempt(t, filepath.Join(folder, name+".jsonl"), h, lines)
	}
	wide := filepath.Join(t.TempDir(), "wide.csv")
	graded(t, 0, folder, "--wide", wide)
	rows := readCSV(t, wide)
	for _, row := range rows[1:] {
		if !strings.HasPrefix(row[0], "'") {
			t.Errorf("student %q begins like a formula", row[0])
		}
		for i, c := range row[2:] {
			if c != "" && strings.ContainsAny(c[:1], "=+-@") {
				if _, err := strconv.ParseFloat(c, 64); err != nil {
					t.Errorf("%s: %q", rows[0][i+2], c)
				}
			}
		}
	}
}

// Late is said of a file changed after the day given, and of no other.
func TestLate(t *testing.T) {
	folder := t.TempDir()
	h, lines := playedBy(t, "uneventful", 5)
	writeAttempt(t, filepath.Join(folder, "anna.jsonl"), h, lines)
	if r, _ := graded(t, 0, folder, "--due", "2020-01-01 12:00"); len(r.Problems) != 1 || r.Problems[0].Kind != "late" || !r.Attempts[0].Counted {
		t.Errorf("problems %v", r.Problems)
	}
	if r, _ := graded(t, 0, folder, "--due", "2999-01-01"); len(r.Problems) != 0 {
		t.Errorf("problems %v", r.Problems)
	}
	if _, errs, code := kilopond(t, "", "grade", folder, "--due", "Friday"); code != 2 || !strings.Contains(errs, "hint:") {
		t.Errorf("exit %d, %s", code, errs)
	}
}
