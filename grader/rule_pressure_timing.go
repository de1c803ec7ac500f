package grader

import "fmt"

var rulePressureTiming = Rule{
	Name:    "pressure-timing",
	Part:    Procedure,
	Asks:    "Begin the pressure of a stage in its window.",
	Why:     "In the first minute of a stage the pressure is still on its way to the new load.",
	Sources: []string{"KINE4315", "CHOICE-WINDOW"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			if !pressureDue(b, s.Number) {
				continue
			}
			good := false
			early := -1
			for _, k := range cuffsIn(c, s.FromS, s.ToS) {
				if k.FromS-s.FromS >= b.Pressure.FromS {
					good = true
				} else if early < 0 {
					early = k.FromS
				}
			}
			switch {
			case good:
				list = append(list, kept(s.FromS+b.Pressure.FromS))
			case early >= 0:
				list = append(list, broken(early, 0, fmt.Sprintf("time of pressure, stage %d", s.Number), "The window opens "+clock(b.Pressure.FromS)+" into the stage.",
					"You began at "+clock(early-s.FromS)+".", "Begin between then and the end of the stage."))
			}
		}
		return list
	},
}
