package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Who ends twice, lets somebody go at once and hands in an empty or an absurd sheet is answered in words, and the report names each.
func TestEndingsThatAreNone(t *testing.T) {
	script, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	before, _, ends := strings.Cut(string(script), "\ncooldown 0.5\n")
	watched, _, sums := strings.Cut(string(script), "\nwrite points ")
	if !ends || !sums {
		t.Fatal("the drill ends otherwise")
	}
	for _, c := range []struct {
		name, typed string
		says        []string
	}{
		{"ended twice", before + "\ncooldown 0.5\ncooldown 0.5\nstop\nstop\nstage 3\nrelease\nrelease\nhand in\n", []string{
			"The test has ended.", "The pedals are still already.", "The person has left.", "The gate is closed: the recovery was not watched.",
			"You wrote no reason.", "You told them nothing of the test."}},
		{"blank calculation", watched + "\nhand in\n", []string{"Handed in.", "Passed", "The box “maximal work rate” is empty.", "On your sheet the estimate comes to", "An estimate could be made on your sheet. No error range is written."}},
		{"absurd numbers", watched + "\nwrite points 2 3, slope many\nwrite points 2 3, slope -7, max work rate 1e9, vo2max ml/kg/min 9999\nhand in\n",
			[]string{"not a number", "slope -7", "VO2max 9999 mL/kg/min", "You wrote 9999."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := kilopond(t, c.typed, "drill", "uneventful", "--seed", "7", "--out", filepath.Join(t.TempDir(), "a.jsonl"))
			if code != 0 {
				t.Fatalf("exit %d: %s", code, errs)
			}
			tail := out[strings.LastIndex(out, "> cooldown 0.5\n"):]
			for _, want := range c.says {
				if !strings.Contains(strings.Join(strings.Fields(tail), " "), want) {
					t.Errorf("%q is not said:\n%s", want, tail)
				}
			}
		})
	}
}

// Who is let go right after a sign that ended the test at once: the gate closes, and the report says what was left undone.
func TestReleasedWhileUnwell(t *testing.T) {
	acts, errs, code := kilopond(t, "", "demo", "thursday-three", "--seed", "0", "--format", "csv")
	if code != 0 {
		t.Fatal(errs)
	}
	rows, err := csv.NewReader(strings.NewReader(acts)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	end := slices.IndexFunc(rows, func(r []string) bool { return r[1] == "stop" })
	if end < 0 {
		t.Fatal("the proctor does not stop")
	}
	var typed []string
	for _, r := range rows[1 : end+1] {
		typed = append(typed, r[1])
	}
	typed = append(typed, "release", "write no estimate pain", "hand in", "")
	out, errs, code := kilopond(t, strings.Join(typed, "\n"), "drill", "thursday-three", "--seed", "0", "--out", filepath.Join(t.TempDir(), "a.jsonl"))
	if code != 0 {
		t.Fatal(errs)
	}
	text := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{"Not passed.", "The gate is closed:", "emergency-call", "You let the person go"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said", want)
		}
	}
}
