package grader

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every rule stands on the checklist exactly once, with points that add up to the weights; and what can close the gate is marked.
func TestChecklistHoldsEveryRuleOnce(t *testing.T) {
	b := Default()
	n, sum := map[string]int{}, map[Part]float64{}
	closes := map[string]bool{}
	for _, s := range Checklist(b) {
		for _, r := range s.Rules {
			n[r.Name]++
			sum[r.Part] += r.Points
			closes[r.Name] = r.Closes
		}
	}
	for _, r := range Rules() {
		if n[r.Name] != 1 {
			t.Errorf("%s stands there %d times", r.Name, n[r.Name])
		}
	}
	if len(n) != len(Rules()) {
		t.Errorf("%d rules on the list, %d in force", len(n), len(Rules()))
	}
	for _, p := range []Part{Safety, Validity, Procedure, Arithmetic} {
		if math.Abs(sum[p]-b.Weights.Of(p)) > 1e-9 {
			t.Errorf("%s: %v points, weight %v", p, sum[p], b.Weights.Of(p))
		}
	}
	files, err := filepath.Glob("rule_*.go")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	name := regexp.MustCompile(`Name:\s+"([a-z-]+)"`)
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		m := name.FindSubmatch(text)
		if m == nil || strings.HasSuffix(f, "rule_sums.go") {
			continue
		}
		can := strings.Contains(string(text), "closing(") || strings.Contains(string(text), "verification{") || strings.Contains(string(text), ".verification()")
		if can != closes[string(m[1])] {
			t.Errorf("%s: can close the gate %v, marked %v", m[1], can, closes[string(m[1])])
		}
	}
}
