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
		return onceAStage(b, c, "cadence", "The load is resistance times cadence.", "check the cadence",
			fmt.Sprintf("Check it once in each stage: %.0f rpm, within 3.", b.Cadence))
	},
}

// onceAStage is one opportunity for each whole stage to check a thing; the first finding speaks for all.
func onceAStage(b Rulebook, c *Course, thing, known, notDone, should string) []Opportunity {
	var list []Opportunity
	first, missed, stage := -1, 0, 0
	for _, s := range c.Stages {
		if s.ToS-s.FromS < b.StageS-stageSlack || overtaken(b, c, s.ToS) {
			continue
		}
		o := kept(s.FromS)
		if !checkedIn(c, thing, s) {
			o.Credit = 0
			missed++
			if first < 0 {
				first, stage = len(list), s.Number
			}
		}
		list = append(list, o)
	}
	if first >= 0 {
		o := &list[first]
		did := fmt.Sprintf("In %d of %d stages you did not %s, first in stage %d.", missed, len(list), notDone, stage)
		if missed == 1 {
			did = fmt.Sprintf("In stage %d you did not %s.", stage, notDone)
		}
		o.Finding = &Finding{Known: known, Did: did, Should: should}
	}
	return list
}

// checkedIn says whether a thing was checked within a stage.
func checkedIn(c *Course, thing string, s StageRun) bool {
	for _, p := range c.Prepared {
		if p.Act == exercises.Check && p.What == thing && p.AtS >= s.FromS && p.AtS <= s.ToS {
			return true
		}
	}
	return false
}
