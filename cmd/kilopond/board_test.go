package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// classFolder is a class of the reference proctor: students with six subjects each, of cases in which nothing happens.
func classFolder(t testing.TB, students int) string {
	t.Helper()
	folder := t.TempDir()
	for s := range students {
		for k, id := range []string{"uneventful", "tuesday-two", "sunday-seven", "friday-eleven", "monday-six", "thursday-three"} {
			h, lines := playedBy(t, id, scenarios.Seed(100*s+k))
			writeAttempt(t, filepath.Join(folder, fmt.Sprintf("s%02d", s), fmt.Sprintf("%d.jsonl", k)), h, lines)
		}
	}
	return folder
}

func boardFile(t *testing.T, on bool, students int) string {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "on: %v\npeople:\n", on)
	for s := range students {
		fmt.Fprintf(&b, "  - {student: s%02d, alias: Bird %02d}\n", s, s)
	}
	path := filepath.Join(t.TempDir(), "board.yaml")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestBoardAndStatisticsHoldToTheirSchemas(t *testing.T) {
	folder := classFolder(t, 12)
	settings := boardFile(t, true, 11)
	run := func(args ...string) string {
		t.Helper()
		out, errs, code := kilopond(t, "", append(args, "--format", "json")...)
		if code != 0 {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		return out
	}
	out := run("board", folder, "--settings", settings)
	holds(t, "board", out)
	var b boardResult
	if err := json.Unmarshal([]byte(out), &b); err != nil {
		t.Fatal(err)
	}
	if b.People != 11 || len(b.Rows) != 11 || len(b.LeftOut) != 0 || b.Hidden != "" {
		t.Errorf("%d people, %d rows, left out %v, hidden %q", b.People, len(b.Rows), b.LeftOut, b.Hidden)
	}
	if strings.Contains(out, "s11") || strings.Contains(out, "percent") {
		t.Error("the board shows who did not ask, or a mark")
	}
	seen := run("board", folder, "--settings", settings, "--as", b.Rows[10].Alias)
	holds(t, "board", seen)
	if err := json.Unmarshal([]byte(seen), &b); err != nil {
		t.Fatal(err)
	}
	if len(b.Rows) != 3+4 {
		t.Errorf("the last of eleven sees %d rows, want the top three, three above, and themselves", len(b.Rows))
	}
	few := run("board", folder, "--settings", boardFile(t, true, 5))
	holds(t, "board", few)
	if !strings.Contains(few, "shown from 10 on") {
		t.Errorf("five people are shown:\n%s", few)
	}

	holds(t, "class-statistics", run("class", "statistics", folder))
	holds(t, "class-statistics", run("class", "statistics", t.TempDir()))
	pictures := filepath.Join(t.TempDir(), "pictures")
	if _, errs, code := kilopond(t, "", "class", "statistics", folder, "--pictures", pictures); code != 0 || !strings.Contains(errs, "pictures written: 7") {
		t.Errorf("pictures: exit %d, %s", code, errs)
	}
	for _, name := range []string{"decisions", "agreement-pulse", "agreement-systolic-pressure", "agreement-diastolic-pressure", "agreement-estimates", "margins-m", "heart-rates"} {
		if data, err := os.ReadFile(filepath.Join(pictures, name+".svg")); err != nil || !strings.Contains(string(data), "</svg>") || strings.Contains(string(data), "NaN") {
			t.Errorf("%s: %v", name, err)
		}
	}
	holds(t, "class-gradebook", run("class", "gradebook", folder))
	small := classFolder(t, 2)
	for _, args := range [][]string{{"board", folder, "--settings", settings}, {"class", "statistics", small}, {"class", "gradebook", small}} {
		for _, f := range []string{"table", "markdown", "csv"} {
			out, errs, code := kilopond(t, "", append(args, "--format", f)...)
			if code != 0 || errs != "" || strings.Contains(out, "NaN") || strings.Contains(out, "null") || strings.Contains(out, "−0.00") {
				t.Errorf("%v --format %s: exit %d, %s\n%s", args, f, code, errs, out)
			}
		}
	}
}

// The board is off until it is turned on, and a file that does not hold says where.
func TestBoardIsOff(t *testing.T) {
	folder := t.TempDir()
	off := boardFile(t, false, 3)
	for _, args := range [][]string{{"board", folder}, {"board", folder, "--settings", off}} {
		out, errs, code := kilopond(t, "", args...)
		if code != 2 || out != "" || !strings.Contains(errs, "hint: ") {
			t.Errorf("%v: exit %d, %q, %s", args, code, out, errs)
		}
	}
	if _, errs, code := kilopond(t, "", "board", folder, "--settings", off, "--on"); code != 0 {
		t.Errorf("turned on: exit %d, %s", code, errs)
	}
	for text, want := range map[string]string{
		"on: true\npeople:\n  - {student: a, alias: X}\n  - {student: b, alias: x}\n": "taken",
		"on: true\npeople:\n  - {student: a, alias: X}\n  - {student: a, alias: Y}\n": "twice",
		"on: true\npeople:\n  - {student: Anna, alias: anna}\n":                       "hides nobody",
		"on: true\npeople:\n  - {student: a, alias: \"\"}\n":                          "alias",
		"on: true\nleast_attempts: 1\n":                                               "least_attempts",
		"on: true\npeple: []\n":                                                       "people",
	} {
		path := filepath.Join(t.TempDir(), "board.yaml")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, errs, code := kilopond(t, "", "board", folder, "--settings", path); code != 2 || out != "" || !strings.Contains(errs, want) || !strings.Contains(errs, path+":") {
			t.Errorf("%q: exit %d, %s", text, code, errs)
		}
	}
}

// The gradebook is keyed by the instructor's column, explained beside it, and no name in it is a formula.
func TestGradebook(t *testing.T) {
	o := assigned(t, []string{"=cmd()", "-2", "k3"}, nil)
	folder := t.TempDir()
	for s := range 2 {
		h, l := o.attempt(t, s, o.scored(s, 0), 1, o.Until)
		writeAttempt(t, filepath.Join(folder, fmt.Sprintf("%d.jsonl", s)), h, l)
	}
	out := filepath.Join(t.TempDir(), "marks.csv")
	args := []string{"class", "gradebook", folder, "--key", o.file, "--column", "Student ID", "--out", out}
	if printed, errs, code := kilopond(t, "", args...); code != 0 || !strings.Contains(printed, "3 students") {
		t.Fatalf("exit %d: %s%s", code, printed, errs)
	}
	rows := readCSV(t, out)
	if len(rows) != 4 || rows[0][0] != "Student ID" {
		t.Fatalf("%q", rows)
	}
	keys := map[string][]string{}
	for _, r := range rows[1:] {
		keys[r[0]] = r
	}
	for _, want := range []string{"'=cmd()", "'-2", "k3"} {
		if keys[want] == nil {
			t.Errorf("no row %q in %q", want, rows)
		}
	}
	if r := keys["k3"]; r != nil && (r[2] != "" || r[3] != "no" || r[5] != "0") {
		t.Errorf("who handed in nothing: %q", r)
	}
	page, err := os.ReadFile(strings.TrimSuffix(out, ".csv") + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range rows[0] {
		if !strings.Contains(string(page), name+": ") {
			t.Errorf("column %s is not explained", name)
		}
	}
	for _, line := range strings.Split(string(page), "\n") {
		if len([]rune(line)) > 80 {
			t.Errorf("a line of %d letters: %s", len([]rune(line)), line)
		}
	}
	if _, errs, code := kilopond(t, "", args...); code != 1 || !strings.Contains(errs, "exists already") {
		t.Errorf("written over: exit %d, %s", code, errs)
	}
}

// Who is in the board's file and not in the class is named: without the instructor's file students of packs are codes.
func TestBoardOfStrangers(t *testing.T) {
	o := assigned(t, []string{"k1", "k2"}, func(terms *exercises.Terms) { terms.Report = exercises.ReportAtOnce })
	folder := t.TempDir()
	h, l := o.attempt(t, 0, o.scored(0, 0), 1, o.Until)
	writeAttempt(t, filepath.Join(folder, "1.jsonl"), h, l)
	for _, c := range []struct {
		students []string
		args     []string
		want     string
	}{
		{[]string{"k1", "k2"}, nil, "without it by their codes"},
		{[]string{"k1", "k3"}, []string{"--key", o.file}, "nobody of the class is called k3\n"},
		{[]string{"k1", "k2"}, []string{"--key", o.file}, ""},
		{[]string{o.Students[0].Code}, nil, ""},
	} {
		text := "on: true\npeople:\n"
		for i, s := range c.students {
			text += fmt.Sprintf("  - {student: %s, alias: Bird %d}\n", s, i)
		}
		settings := filepath.Join(t.TempDir(), "board.yaml")
		if err := os.WriteFile(settings, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		out, errs, code := kilopond(t, "", append([]string{"board", folder, "--settings", settings}, c.args...)...)
		if want := map[bool]int{true: 0, false: 1}[c.want == ""]; code != want || !strings.Contains(errs, c.want) || (code == 1) == strings.Contains(out, "board") {
			t.Errorf("%v %v: exit %d, %s%s", c.students, c.args, code, out, errs)
		}
	}
}
