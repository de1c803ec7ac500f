package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Somebody who takes the wrong load comes back a minute before it, does it right, and has the report of a right test, marked as practice.
func TestRedoGoesOnFromTheMinuteBefore(t *testing.T) {
	script, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	right := string(script)
	folder := t.TempDir()
	first, again := filepath.Join(folder, "first.jsonl"), filepath.Join(folder, "again.jsonl")
	_, errs, code := kilopond(t, strings.Replace(right, "\nstage 2\n", "\nstage 2.5\n", 1), "drill", "uneventful", "--seed", "7", "--out", first)
	if code != 0 || !strings.Contains(errs, "kilopond drill --redo "+first) {
		t.Fatalf("exit %d: %s", code, errs)
	}
	before, err := os.ReadFile(first)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(right, "\npressure pump 162 valve 3\n")
	if !ok {
		t.Fatal("the drill takes its third pressure otherwise")
	}
	out, errs, code := kilopond(t, rest, "drill", "--redo", first, "--out", again)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, want := range []string{"Practice: up to here", "stage 2   2:57", "Passed (done over: practice)", "100.0 %", "Up to stage 2, 2:57 it is an earlier"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
	if after, err := os.ReadFile(first); err != nil || string(after) != string(before) {
		t.Errorf("the earlier attempt was touched: %v", err)
	}
	if out, errs, code := kilopond(t, "", "verify", again); code != 0 {
		t.Errorf("verify: exit %d: %s %s", code, out, errs)
	}
	out, _, _ = kilopond(t, "", "grade", folder, "--format", "csv")
	for line := range strings.Lines(out) {
		if strings.Contains(line, "again.jsonl") != strings.Contains(line, "done over") {
			t.Errorf("counted or not: %s", line)
		}
	}
	if out, _, code = kilopond(t, "", "drill", "--redo", first, "--at", "0:30", "--out", filepath.Join(folder, "early.jsonl")); code != 0 || !strings.Contains(out, "0:20   standing") {
		t.Errorf("--at 0:30, exit %d: %s", code, out)
	}
}

func TestRedoRefuses(t *testing.T) {
	script, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	whole, open := filepath.Join(folder, "whole.jsonl"), filepath.Join(folder, "open.jsonl")
	kilopond(t, string(script), "drill", "uneventful", "--seed", "7", "--out", whole)
	kilopond(t, "greet\n", "drill", "uneventful", "--seed", "7", "--out", open)
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--redo", whole}, 1, "nothing was found in it"},
		{[]string{"--redo", open}, 1, "not handed in yet"},
		{[]string{"--redo", whole, "--at", "noon"}, 2, "not a time"},
		{[]string{"--redo", whole, "--seed", "8"}, 2, "are those of the attempt"},
		{[]string{"uneventful", "--redo", whole}, 2, "are those of the attempt"},
		{[]string{"--at", "1:00"}, 2, "belongs to --redo"},
		{[]string{"--redo", filepath.Join(folder, "none.jsonl")}, 1, "none.jsonl"},
	} {
		out, errs, code := kilopond(t, "", append([]string{"drill"}, c.args...)...)
		if code != c.code || out != "" || !strings.Contains(errs, c.says) {
			t.Errorf("%v: exit %d, %q, %s", c.args, code, out, errs)
		}
	}
}
