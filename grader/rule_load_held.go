package grader

import "fmt"

var ruleLoadHeld = Rule{
	Name:    "load-held",
	Part:    Validity,
	Asks:    "Leave the dial alone inside a stage.",
	Why:     "The heart needs two to three minutes to answer a load. Two loads in one stage give a rate that belongs to neither.",
	Sources: []string{"CSEP2009"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 {
			return nil
		}
		for _, s := range c.Stages {
			was := s.Resistance
			for _, l := range s.Changes {
				due := dueResistance(b, c, s.Number)
				corrects := l.Resistance == due && l.AtS-s.FromS < 60 // a wrong load put right in the first minute
				if l.Resistance != was && !corrects && endReason(b, c, l.AtS) == "" {
					cause := ""
					if l.Resistance > due+loadDanger {
						cause = loadCause(s.Number)
					}
					return []Opportunity{broken(l.AtS, 0, cause, fmt.Sprintf("Stage %d was running at %.1f kp.", s.Number, was),
						fmt.Sprintf("You turned the dial to %.1f kp.", l.Resistance), "Change the load only with a new stage, or to end the test.")}
				}
				was = l.Resistance
			}
		}
		return []Opportunity{kept(c.Stages[0].FromS)}
	},
}
