package grader

import "fmt"

var ruleExertion = Rule{
	Name:    "exertion",
	Part:    Procedure,
	Asks:    "Ask for a rating of exertion in each stage.",
	Why:     "A rating that runs ahead of the heart rate is a warning: the true maximum may lie below the predicted one, or the legs are done.",
	Sources: []string{"KINE4315", "PHRE1033"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			given := false
			for _, e := range c.Exertions {
				given = given || e.AtS >= s.FromS && e.AtS <= s.ToS
			}
			switch {
			case given:
				list = append(list, kept(s.ToS))
			case s.ToS-s.FromS < b.StageS-stageSlack || overtaken(b, c, s.ToS) ||
				s.Last && (endReason(b, c, s.ToS) != "" || displaced(b, c, s.ToS-60, s.ToS)):
			default:
				cause := fmt.Sprintf("exertion of stage %d", s.Number)
				if missed := missedStop(b, c, s); missed != "" {
					cause = missed // the end was due, not a rating
				}
				list = append(list, broken(s.ToS-1, 0, cause, fmt.Sprintf("Stage %d lasted %s.", s.Number, clock(s.ToS-s.FromS)),
					"You did not ask how hard it was.", "Ask for a rating near the end of each stage."))
			}
		}
		return list
	},
}
