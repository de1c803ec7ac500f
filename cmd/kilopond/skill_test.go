package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kilopond/grader/skill"
)

// sit runs one skill command at a time of day, as a student types it.
func sit(t *testing.T, at time.Time, typed string, args ...string) (stdout, stderr string, err error) {
	t.Helper()
	c := newSkill()
	var out, errs bytes.Buffer
	c.SetArgs(args)
	c.SetIn(strings.NewReader(typed))
	c.SetOut(&out)
	c.SetErr(&errs)
	c.SilenceErrors, c.SilenceUsage = true, true
	err = c.ExecuteContext(withClock(context.Background(), func() time.Time { return at }))
	return out.String(), errs.String(), err
}

// narrowLines fails on a printed line that is wider than a terminal of 80 columns.
func narrowLines(t *testing.T, told string) {
	t.Helper()
	for i, l := range strings.Split(told, "\n") {
		if n := len([]rune(l)); n > 80 {
			t.Errorf("line %d has %d columns: %s", i+1, n, l)
		}
	}
}

// Every skill at every level is asked on a pipe, answered by whatever is typed, and its result holds to its schema.
func TestEverySkillIsAsked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "skills.jsonl")
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	for _, s := range skill.Skills() {
		for level := 1; level <= skill.Levels; level++ {
			typed := strings.Repeat("1\n", 60)
			out, errs, err := sit(t, at, typed, string(s.Name), "--seed", "11", "--level", string(rune('0'+level)), "--n", "2", "--progress", path, "--format", "json")
			if err != nil {
				t.Fatalf("%s, level %d: %v", s.Name, level, err)
			}
			holds(t, "skill", out)
			narrowLines(t, errs)
			if !strings.Contains(errs, "Question 2 of 2") || strings.Contains(errs, "Left.") {
				t.Errorf("%s, level %d: not both questions were answered:\n%s", s.Name, level, errs)
			}
		}
	}
	out, errs, err := sit(t, at, strings.Repeat("1\n", 90), "mix", "--seed", "3", "--progress", path, "--format", "json")
	if err != nil || !strings.Contains(errs, "Question 18 of 18") {
		t.Fatalf("%v:\n%s", err, errs)
	}
	holds(t, "skill", out)
	narrowLines(t, errs)
	out, _, err = sit(t, at, "", "--progress", path, "--format", "json")
	if err != nil {
		t.Fatal(err)
	}
	holds(t, "skill-due", out)
	for _, later := range []int{0, 1, 400} {
		out, _, err = sit(t, at.Add(time.Duration(later)*24*time.Hour), "", "--progress", path)
		if err != nil {
			t.Fatal(err)
		}
		narrowLines(t, out)
	}
}

// A student's week: due at once, again two days after, and later each time; a bad evening brings it back the next day.
func TestDueOverAWeek(t *testing.T) {
	path := filepath.Join(t.TempDir(), "skills.jsonl")
	monday := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	due := func(at time.Time) string {
		t.Helper()
		out, _, err := sit(t, at, "", "--progress", path)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(out, "\n")
		from, to := strings.Index(lines[0], "due"), strings.Index(lines[0], "level")
		for _, line := range lines {
			if strings.HasPrefix(line, " steady ") {
				return strings.TrimSpace(line[from:to])
			}
		}
		t.Fatalf("no line of steady in\n%s", out)
		return ""
	}
	// right answers a sitting of six, as the seed brings them
	play := func(at time.Time, seed string, right bool) {
		t.Helper()
		probe, _, err := sit(t, at, strings.Repeat("next\n", 6), "steady", "--seed", seed, "--level", "1", "--progress", filepath.Join(t.TempDir(), "x"), "--format", "csv")
		if err != nil {
			t.Fatal(err)
		}
		var typed strings.Builder
		for _, line := range strings.Split(strings.TrimSpace(probe), "\n")[1:] {
			if strings.Contains(line, ",yes,") == right {
				typed.WriteString("next\n")
			} else {
				typed.WriteString("minute\n")
			}
		}
		out, _, err := sit(t, at, typed.String(), "steady", "--seed", seed, "--level", "1", "--progress", path)
		if err != nil {
			t.Fatal(err)
		}
		want := "6 of 6 right"
		if !right {
			want = "0 of 6 right"
		}
		if !strings.Contains(out, want) {
			t.Fatalf("not %s:\n%s", want, out)
		}
	}
	day := func(n int) time.Time { return monday.Add(time.Duration(n) * 24 * time.Hour) }
	if got := due(monday); got != "now" {
		t.Errorf("never sat: due %q, want now", got)
	}
	play(monday, "1", true)
	for n, want := range map[int]string{0: "in 2 days", 1: "within a day", 2: "now"} {
		if got := due(day(n)); got != want {
			t.Errorf("after the first sitting, day %d: due %q, want %q", n, got, want)
		}
	}
	play(day(2), "2", true) // kept over one gap: a smaller share of two weeks
	if got := due(day(2)); got != "in 3 days" {
		t.Errorf("after the second sitting: due %q, want in 3 days", got)
	}
	play(day(5), "3", false)
	if got := due(day(5)); got != "within a day" {
		t.Errorf("after a bad evening: due %q, want within a day", got)
	}
	if got := due(day(7)); got != "now" {
		t.Errorf("two days after a bad evening: due %q, want now", got)
	}
}
