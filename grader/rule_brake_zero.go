package grader

import "kilopond/exercises"

var ruleBrakeZero = Rule{
	Name:    "brake-zero",
	Part:    Validity,
	Asks:    "Check that the brake reads zero with the belt slack before the person pedals.",
	Why:     "A dial that starts off zero is off at every load, and the whole line moves with it.",
	Sources: []string{"KINE4315", "PRACTICE-ORDER"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		if at := firstStep(c.Prepared, exercises.Check, "brake"); before(c, at) {
			return []Opportunity{kept(at)}
		}
		return []Opportunity{broken(c.PedalAtS, 0, "brake", "The brake's zero had not been looked at.", "You started the pedalling.",
			"Check the zero first.")}
	},
}
