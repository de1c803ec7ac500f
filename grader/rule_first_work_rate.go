package grader

import "fmt"

var ruleFirstWorkRate = Rule{
	Name:    "first-work-rate",
	Part:    Validity,
	Asks:    "Begin stage 1 at the first work rate of the table.",
	Why:     "The bands of the table were made for the heart rate at this load. At another load the column means nothing.",
	Sources: []string{"CSEP2009"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 {
			return nil
		}
		s := c.Stages[0]
		if sameLoad(s.WorkRate, b.FirstWorkRate) {
			return []Opportunity{kept(s.FromS)}
		}
		return []Opportunity{broken(s.FromS, 0, loadCause(1), fmt.Sprintf("Stage 1 is due at %.0f kg·m/min.", b.FirstWorkRate),
			fmt.Sprintf("You set %.1f kp: %.0f kg·m/min at %.0f rpm.", s.Resistance, s.WorkRate, b.Cadence),
			fmt.Sprintf("Set %.1f kp.", b.FirstWorkRate.Resistance(b.Cadence)))}
	},
}
