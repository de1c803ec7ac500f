package grader

import "kilopond/exercises"

var ruleTold = Rule{
	Name:    "told",
	Part:    Procedure,
	Asks:    "Before the person goes, tell them the result and how sure it is; when something was odd, to show it to their doctor.",
	Why:     "Somebody who has worked for half an hour goes home with a number, or with a question. Said plainly it is neither praise nor a diagnosis.",
	Sources: []string{"PRACTICE-TELLING"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.ReleasedAtS < 0 {
			return nil
		}
		odd := oddReading(b, c)
		if _, danger := emergencyOf(b, c); danger {
			odd = true
		}
		result := firstStep(c.Prepared, exercises.Tell, "result") >= 0
		doctor := firstStep(c.Prepared, exercises.Tell, "doctor") >= 0
		switch {
		case odd && doctor, !odd && (result || doctor):
			return []Opportunity{kept(c.ReleasedAtS)}
		case odd && result:
			return []Opportunity{broken(c.ReleasedAtS, 0.5, "told", "The test had ended for something odd.", "You told the result alone.",
				"What was read and felt today is for the person's own doctor to see: tell doctor.")}
		}
		return []Opportunity{broken(c.ReleasedAtS, 0, "told", "The person was about to go.", "You told them nothing of the test.",
			"Tell the result, or, when something was odd, to show it to their doctor: tell result, tell doctor.")}
	},
}

// oddReading says whether the test met a reading that is for a doctor to see: a pressure beyond its limit, a confirmed fall or pulse.
func oddReading(b Rulebook, c *Course) bool {
	for _, k := range c.Cuffs {
		if k.Stage > 0 && k.overLimit(b) {
			return true
		}
	}
	if f, ok := fallOf(b, c); ok && f.confirmed {
		return true
	}
	_, ok := confirmedDoubt(b, c)
	return ok
}
