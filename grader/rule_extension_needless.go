package grader

import "fmt"

var ruleExtensionNeedless = Rule{
	Name:    "extension-needless",
	Part:    Validity,
	Asks:    "Add a minute only to a stage that has not settled.",
	Why:     "Each needless minute warms and tires the person. The rate then drifts up at the same load, and the later points lie too high.",
	Sources: []string{"CSEP2009", "HK"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			for _, at := range s.Extensions {
				earlier, later, ok := lastTwo(readings(c, s, at))
				if !ok || later.Minute < b.StageS/60 || !steadyPair(b, earlier.HR, later.HR) {
					list = append(list, kept(at))
					continue
				}
				if pressureDue(b, s.Number) && !anyRead(cuffsIn(c, s.FromS, at)) || displaced(b, c, at-60, at+60) {
					list = append(list, kept(at)) // the minute was needed for the pressure
					continue
				}
				list = append(list, broken(at, 0, fmt.Sprintf("extension of stage %d", s.Number), fmt.Sprintf("Minute %d: %.0f bpm. Minute %d: %.0f bpm.",
					earlier.Minute, earlier.HR, later.Minute, later.HR), "You added a minute.", "The stage had settled: go on."))
			}
		}
		return list
	},
}

// anyRead says whether one of the pressures can be used.
func anyRead(list []CuffTake) bool {
	for _, k := range list {
		if k.read() {
			return true
		}
	}
	return false
}

// pressureDue says whether a stage owes a pressure by the house's schedule.
func pressureDue(b Rulebook, stage int) bool { return stage%max(1, b.Pressure.EveryStages) == 0 }
