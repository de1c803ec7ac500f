package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleCadenceChecked = Rule{
	Name:    "cadence-checked",
	Part:    Validity,
	Asks:    "Check the cadence in each stage, and call the person back to the rhythm when it is off.",
	Why:     "At 45 rpm booked as 50 in the last stage the estimate comes out a third too high: the person did less work than the sheet says.",
	Sources: []string{"PHRE1033", "CHOICE-CADENCE"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		first, missed := -1, 0
		for _, s := range c.Stages {
			if s.ToS-s.FromS < b.StageS-stageSlack || overtaken(b, c, s.ToS) {
				continue
			}
			o := kept(s.FromS)
			o.Credit = 0
			for _, p := range c.Prepared {
				if p.Act == exercises.Check && p.What == "cadence" && p.AtS >= s.FromS && p.AtS <= s.ToS {
					o.Credit = 1
				}
			}
			if o.Credit == 0 {
				missed++
				if first < 0 {
					first = len(list)
				}
			}
			list = append(list, o)
		}
		if first >= 0 {
			o := &list[first]
			o.Finding = &Finding{Known: "The load is resistance times cadence.",
				Did:    fmt.Sprintf("In %d of %d stages you did not check the cadence, first in %s.", missed, len(list), where(c, o.AtS)),
				Should: fmt.Sprintf("Check it once in each stage: %.0f rpm, within 3.", b.Cadence)}
		}
		return list
	},
}
