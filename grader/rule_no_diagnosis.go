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
		for _, s := range c.Prepared {
			if s.Act != exercises.Tell {
				continue
			}
			switch s.What {
			case "medicine":
				return []Opportunity{broken(s.AtS, 0, "", "Medicines are ordered by a doctor who knows the person.", "You told the person to leave one out.",
					"Tell them to show today's readings to that doctor.")}
			case "cause":
				return []Opportunity{broken(s.AtS, 0, "", "The test shows readings and complaints, not illnesses.", "You told the person what you think is behind it.",
					"Say what was read and felt, and whom to show it to.")}
			}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}
