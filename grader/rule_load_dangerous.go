package grader

import (
	"fmt"

	"kilopond/physiology/unit"
)

var ruleLoadDangerous = Rule{
	Name:    "load-dangerous",
	Part:    Safety,
	Asks:    "Never set a resistance that lies more than 1 kp above the one that is due.",
	Why:     "A jump of several stages at once can take a person from easy work to the end of their strength in seconds, with no reading in between. Read the dial back before you let go of it.",
	Sources: []string{"CSEP2009", "CHOICE-LOAD-DANGER"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || len(c.Stages) == 0 {
			return nil
		}
		for _, s := range c.Stages {
			due := dueResistance(b, c, s.Number)
			for _, l := range append([]LoadChange{{AtS: s.FromS, Resistance: s.Resistance}}, s.Changes...) {
				if l.Resistance > due+loadDanger {
					return []Opportunity{broken(l.AtS, 0, loadCause(s.Number), fmt.Sprintf("%.1f kp was due for stage %d.", due, s.Number),
						fmt.Sprintf("You set %.1f kp.", l.Resistance), "Set the resistance that the table gives and read it back.")}
				}
			}
		}
		return []Opportunity{kept(c.Stages[0].FromS)}
	},
}

// loadDanger is how far above the due resistance a load counts as dangerous. Source: [CHOICE-LOAD-DANGER].
const loadDanger = 1 * unit.Kilopond

// raisedCause is the cause of a wrong load at which a stage was begun: a stop that was missed for it, else the load itself.
func raisedCause(b Rulebook, c *Course, stage, at int) string {
	for _, s := range c.Stages {
		if s.ToS == at && s.Number == stage-1 {
			if missed := missedStop(b, c, s); missed != "" {
				return missed
			}
		}
	}
	return loadCause(stage)
}

// loadCause names a load as a cause, so that one wrong load is charged once by whichever rule comes first.
func loadCause(stage int) string { return fmt.Sprintf("load of stage %d", stage) }
