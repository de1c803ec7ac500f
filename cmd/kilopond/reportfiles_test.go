package main

import (
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkOpenReport is everything from the attempt's file to the text, the page and the paper, pictures and all.
func BenchmarkOpenReport(b *testing.B) {
	script, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	attempt := filepath.Join(dir, "a.jsonl")
	if _, errs, code := kilopond(b, string(script), "drill", "uneventful", "--seed", "7", "--out", attempt); code != 0 {
		b.Fatal(errs)
	}
	for b.Loop() {
		// Other rules than those of the drill, so that there is much to find.
		if _, errs, code := kilopond(b, "", "grade", attempt, "--set", "max_hr=208-0.7age", "--set", "warm_up_s=600", "--set", "ceiling.fraction=0.7",
			"--html", filepath.Join(dir, "a.html"), "--pdf", filepath.Join(dir, "a.pdf"), "--force"); code != 0 {
			b.Fatal(errs)
		}
	}
}
