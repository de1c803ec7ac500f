package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleCountWhilePedalling = Rule{
	Name:    "count-while-pedalling",
	Part:    Validity,
	Asks:    "Count the pulse of a stage while the person works at its load.",
	Why:     "Within 15 s of stopping the rate falls by 6–9 bpm. A count taken after the load is off makes the person look fitter than they are.",
	Sources: []string{"DEVAN2005", "CAROTID42"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 {
			return nil
		}
		if c.EndedAtS < 0 {
			return []Opportunity{kept(c.Stages[0].FromS)}
		}
		if minute := countedAfterWork(c); minute > 0 {
			last := c.Stages[len(c.Stages)-1]
			return []Opportunity{broken(c.EndedAtS, 0, afterWork, fmt.Sprintf("The load of stage %d was off.", last.Number),
				fmt.Sprintf("You counted after that and wrote it for minute %d of the stage.", minute), "Count first, then end the stage.")}
		}
		return []Opportunity{kept(c.EndedAtS)}
	},
}

// afterWork is the cause of a count that was taken after the load was off.
const afterWork = "counted after work"

// countedAfterWork is the minute of the last stage for which a count of the recovery was written; 0 when there is none.
func countedAfterWork(c *Course) int {
	if c.EndedAtS < 0 || len(c.Stages) == 0 {
		return 0
	}
	last := c.Stages[len(c.Stages)-1]
	for _, i := range written(c, exercises.KeyBeats) {
		if i.Stage != last.Number || i.AtS <= c.EndedAtS {
			continue
		}
		counted := false
		for _, r := range readings(c, last, c.EndedAtS) {
			counted = counted || r.Minute == i.Minute
		}
		if !counted && countedIn(c, c.EndedAtS, i.AtS) {
			return i.Minute
		}
	}
	return 0
}
