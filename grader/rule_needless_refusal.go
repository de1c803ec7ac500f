package grader

import "fmt"

var ruleNeedlessRefusal = Rule{
	Name:    "needless-refusal",
	Part:    Safety,
	Asks:    "Test a person whose answers and resting values allow it.",
	Why:     "Sending away a healthy person costs trust and a morning, and teaches nobody. Caution is a decision on grounds, not a habit.",
	Sources: []string{"CHOICE-FALSE-STOP", "CHOICE-REST-LIMITS"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if _, may := mayRefuse(b, c); may {
			return nil
		}
		if begun(c) {
			return []Opportunity{kept(c.PedalAtS)}
		}
		at := refused(c)
		did := fmt.Sprintf("You chose to %s.", lastDecision(c))
		if at < 0 {
			at, did = lastSecond(c), "You handed in without a decision and without a test."
		}
		return []Opportunity{broken(at, 0, "refusal", "The health answers gave no reason to wait, and no resting value stayed beyond its limit.",
			did, "Go on with the test; when one value is high, rest and repeat first.")}
	},
}

// lastDecision is the last answer to the screening.
func lastDecision(c *Course) string {
	if n := len(c.Screening); n > 0 {
		return c.Screening[n-1].What
	}
	return "leave it open"
}
