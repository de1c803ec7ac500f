package grader

import "kilopond/exercises"

var ruleReasonWritten = Rule{
	Name:    "reason-written",
	Part:    Procedure,
	Asks:    "Write why the test ended.",
	Why:     "Whoever reads the sheet later must know whether the number stands on a whole test, and what to look at next time.",
	Sources: []string{"PRACTICE-SHEET"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 {
			return nil
		}
		if list := written(c, exercises.KeyReason); len(list) > 0 {
			return []Opportunity{kept(list[0].AtS)}
		}
		return []Opportunity{broken(c.EndedAtS, 0, "reason", "The test had ended.", "You wrote no reason.", "Write the reason for ending in one line.")}
	},
}
