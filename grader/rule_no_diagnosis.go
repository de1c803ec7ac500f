package grader

import "kilopond/exercises"

var ruleNoDiagnosis = Rule{
	Name:    "no-diagnosis",
	Part:    Safety,
	Asks:    "Name no illness to the person and touch no medicine that a doctor has ordered.",
	Why:     "A pulse and a cuff tell that something is odd, not what it is. A medicine left out on the word of a tester has harmed people; that decision is their doctor's.",
	Sources: []string{"PRACTICE-TELLING"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if c.ReleasedAtS < 0 {
			return nil
		}
		medicine := firstIn(c.Prepared, exercises.Tell, "medicine", 0, c.ReleasedAtS)
		cause := firstIn(c.Prepared, exercises.Tell, "cause", 0, c.ReleasedAtS)
		switch {
		case medicine >= 0 && cause >= 0:
			return []Opportunity{broken(min(medicine, cause), 0, "", "The test shows readings and complaints, not illnesses, and medicines are ordered by a doctor who knows the person.",
				"You told the person what you think is behind it, and to leave a medicine out.", "Say what was read and felt, and have it shown to their doctor.")}
		case medicine >= 0:
			return []Opportunity{broken(medicine, 0, "", "Medicines are ordered by a doctor who knows the person.", "You told the person to leave one out.",
				"Tell them to show today's readings to that doctor.")}
		case cause >= 0:
			return []Opportunity{broken(cause, 0, "", "The test shows readings and complaints, not illnesses.", "You told the person what you think is behind it.",
				"Say what was read and felt, and whom to show it to.")}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}
