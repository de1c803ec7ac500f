package grader

import "kilopond/exercises"

var ruleFalseStop = Rule{
	Name:    "false-stop",
	Part:    Safety,
	Asks:    "Stop at once only for a reason that could be seen, heard or measured.",
	Why:     "A stop without a reason frightens the person, loses the test, and ends work dead when the legs should go on turning. Whoever stops at everything stops seeing what matters.",
	Sources: []string{"CHOICE-FALSE-STOP"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 || c.leftOpen() {
			return nil // what was there to be seen is known when it is handed in
		}
		if c.EndedHow != exercises.Stop || endReason(b, c, c.EndedAtS) != "" || len(qualifying(b, c)) >= b.StagesNeeded {
			return []Opportunity{kept(c.EndedAtS)}
		}
		return []Opportunity{broken(c.EndedAtS, 0, "ended early", "No sign, reading or word asked for an end.",
			"You stopped the test at once.", "Go on; when in doubt ask, look, and repeat the reading first.")}
	},
}
