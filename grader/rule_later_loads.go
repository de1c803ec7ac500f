package grader

import "fmt"

var ruleLaterLoads = Rule{
	Name:    "later-loads",
	Part:    Validity,
	Asks:    "From stage 3 on set the next load of the column that was entered.",
	Why:     "Even steps keep the jumps small and the points on one line. A jump out of turn is one large step for the heart and for the estimate.",
	Sources: []string{"CSEP2009", "PHRE1033"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for i := 2; i < len(c.Stages); i++ {
			s := c.Stages[i]
			due := dueWorkRate(b, c, s.Number)
			if sameLoad(s.WorkRate, due) {
				list = append(list, kept(s.FromS))
				continue
			}
			list = append(list, broken(s.FromS, 0, raisedCause(b, c, s.Number, s.FromS), fmt.Sprintf("Stage %d ran at %.0f kg·m/min.", s.Number-1, c.Stages[i-1].WorkRate),
				fmt.Sprintf("You set %.0f kg·m/min (%.1f kp).", s.WorkRate, s.Resistance),
				fmt.Sprintf("The next load of the column is %.0f kg·m/min (%.1f kp).", due, due.Resistance(b.Cadence))))
		}
		return list
	},
}
