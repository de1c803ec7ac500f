package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// writeAttempt writes an attempt as the drill keeps it.
func writeAttempt(t testing.TB, path string, h exercises.Header, lines []exercises.Line) {
	t.Helper()
	raw, err := exercises.EncodeHeader(h)
	if err != nil {
		t.Fatal(err)
	}
	all := append([]byte{}, raw...)
	all = append(all, '\n')
	for _, l := range lines {
		l.Prev = exercises.Sum(raw)
		if raw, err = exercises.EncodeLine(l); err != nil {
			t.Fatal(err)
		}
		all = append(append(all, raw...), '\n')
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, all, 0o600); err != nil {
		t.Fatal(err)
	}
}

// playedBy is an attempt by the reference proctor.
func playedBy(t testing.TB, id string, seed scenarios.Seed) (exercises.Header, []exercises.Line) {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	p, err := grader.Play(grader.Default(), c.Draw(seed))
	if err != nil {
		t.Fatal(err)
	}
	return p.Session.State().Header, p.Lines
}

// BenchmarkGradeClass grades 200 students with 10 attempts each: read, chain, every reading played again, all rules, A and M.
func BenchmarkGradeClass(b *testing.B) {
	folder := b.TempDir()
	cases := []string{"uneventful", "tuesday-noon", "thursday-three", "uneventful", "uneventful"}
	for s := range 200 {
		for a := range 10 {
			h, lines := playedBy(b, cases[a%len(cases)], scenarios.Seed(1000*s+a))
			writeAttempt(b, filepath.Join(folder, fmt.Sprintf("s%03d.%d.jsonl", s, a)), h, lines)
		}
	}
	for b.Loop() {
		if out, errs, code := kilopond(b, "", "grade", folder, "--format", "csv"); code != 0 || len(out) < 1000 {
			b.Fatalf("exit %d: %s", code, errs)
		}
	}
}
