package grader

import (
	"slices"
	"testing"

	"kilopond/scenarios"
)

// Every rule belongs to a decision, and every decision has a rule.
func TestEveryRuleHasACompetency(t *testing.T) {
	met := map[string]bool{}
	for _, r := range Rules() {
		k := CompetencyOf(r.Name)
		if !slices.Contains(scenarios.Competencies(), k) {
			t.Errorf("%s: %q", r.Name, k)
		}
		met[k] = true
	}
	for _, k := range scenarios.Competencies() {
		if !met[k] {
			t.Errorf("no rule belongs to %s", k)
		}
	}
	if k := CompetencyOf("no-such-rule"); k != "" {
		t.Errorf("no rule at all belongs to %s", k)
	}
}
