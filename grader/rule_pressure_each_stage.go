package grader

import "fmt"

var rulePressureEachStage = Rule{
	Name:    "pressure-each-stage",
	Part:    Procedure,
	Asks:    "Take a pressure in each stage.",
	Why:     "A fall, or a rise beyond the limit, shows in nothing else until it is late. A stage without a pressure is not just incomplete, it was not watched.",
	Sources: []string{"KINE4315", "NHANES-CVX"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			if !pressureDue(b, s.Number) {
				continue
			}
			taken := cuffsIn(c, s.FromS, s.ToS)
			if anyRead(taken) {
				list = append(list, kept(taken[0].FromS))
				continue
			}
			// The end came before it was due, or something higher came first.
			if s.ToS-s.FromS < b.StageS-stageSlack || overtaken(b, c, s.ToS) || s.Last && (displaced(b, c, s.ToS-60, s.ToS) || endReason(b, c, s.ToS) != "") {
				continue
			}
			if len(taken) > 0 {
				continue // pressure-inflation judges a pressure that could not be read
			}
			cause := fmt.Sprintf("pressure of stage %d", s.Number)
			if s.Last && countedAfterWork(c) > 0 {
				cause = afterWork // what belongs before the end was left for after it
			}
			if missed := missedStop(b, c, s); missed != "" {
				cause = missed // the end was due, not a pressure
			}
			list = append(list, broken(s.ToS-1, 0, cause, fmt.Sprintf("Stage %d lasted %s.", s.Number, clock(s.ToS-s.FromS)),
				"You took no pressure in it.", "Take one in its window, at the latest before the load is changed."))
		}
		return list
	},
}
