package grader

import (
	"slices"
	"testing"
)

// Every rule is trained by a skill that there is; only the calculation's rules are left to the skill of the estimate.
func TestEveryRuleHasItsSkillAndItsStake(t *testing.T) {
	skills := []string{"pulse", "cuff", "ceiling", "steady", "branch", "screen", "stop", "estimate", "plan"}
	met := map[string]bool{}
	for _, r := range Rules() {
		s := SkillFor(r.Name)
		met[s] = true
		if !slices.Contains(skills, s) {
			t.Errorf("%s: skill %q", r.Name, s)
		}
		if s == "estimate" && r.Part != Arithmetic {
			t.Errorf("%s, a rule of %s, has no skill of its own: name one in SkillFor", r.Name, r.Part)
		}
		if got := stakeOf(r.Name, r.Part); (got != "") != (r.Part == Safety) {
			t.Errorf("%s, a rule of %s, has stake %q", r.Name, r.Part, got)
		}
	}
	for _, s := range skills {
		if !met[s] {
			t.Errorf("no rule leads to the skill %s", s)
		}
	}
}

func TestPracticeIsTheCostliest(t *testing.T) {
	small := Finding{Rule: "saddle", Part: Procedure, Lost: 1}
	large := Finding{Rule: "branch-column", Part: Validity, Lost: 7}
	gate := Finding{Rule: "recovery-watched", Part: Safety, Lost: 3, ClosesGate: "recovery was not watched"}
	linked := Finding{Rule: "ceiling", Part: Safety, ChargedTo: "branch-column"}
	for _, c := range []struct {
		all  []Finding
		want string
	}{
		{nil, ""}, {[]Finding{linked}, ""}, {[]Finding{small, large, linked}, "branch-column"}, {[]Finding{large, small, large}, "branch-column"},
		{[]Finding{large, gate, small}, "recovery-watched"},
	} {
		got := ""
		if p := practice(c.all); p != nil {
			got = p.Rule
		}
		if got != c.want {
			t.Errorf("of %d findings %q is to be practised, want %q", len(c.all), got, c.want)
		}
	}
}
