package grader

import "kilopond/exercises"

var ruleScreenHealth = Rule{
	Name:    "screen-health",
	Part:    Safety,
	Asks:    "Ask the health questions before the person pedals.",
	Why:     "Most harm in exercise tests comes to people who had a warning and were not asked. The questions take a minute and decide whether there is a test at all.",
	Sources: []string{"PARQ2011", "PRACTICE-ORDER"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		decided := firstStep(c.Screening, exercises.Decide, "")
		if !begun(c) && decided < 0 {
			return nil
		}
		at := decided
		if begun(c) {
			at = c.PedalAtS
		}
		asked := askedFirst(c, "health")
		if asked >= 0 && asked <= at {
			return []Opportunity{kept(asked)}
		}
		return []Opportunity{broken(at, 0, "health", "You had not heard the answers to the health questions.",
			"You decided without them.", "Ask the health questions, and hear the answers, before you decide whether to test.")}
	},
}
