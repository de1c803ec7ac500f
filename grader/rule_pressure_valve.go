package grader

import "fmt"

var rulePressureValve = Rule{
	Name:    "pressure-valve",
	Part:    Procedure,
	Asks:    "Let the cuff down at the proper rate.",
	Why:     "Between two beats a fast needle runs past the first sound: the systolic reads low and the diastolic high, by up to the fall of one beat.",
	Sources: []string{"ZHENG2011", "PHRE1033", "WSU"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		first := true
		for _, k := range c.Cuffs {
			if k.CutShort {
				continue
			}
			if k.Valve >= b.Pressure.ValveLow && k.Valve <= b.Pressure.ValveHigh {
				list = append(list, kept(k.FromS))
				continue
			}
			o := Opportunity{AtS: k.FromS, Cause: fmt.Sprintf("valve at %d", k.FromS)}
			if k.Valve < b.Pressure.ValveLow {
				o.Credit = 0.5 // slow is only long
			}
			if first {
				o.Finding = &Finding{Known: fmt.Sprintf("The proper rate is %.0f–%.0f mmHg/s.", b.Pressure.ValveLow, b.Pressure.ValveHigh),
					Did: fmt.Sprintf("You let the cuff down at %.0f mmHg/s.", k.Valve), Should: "Open the valve less, and listen for two beats at each few marks."}
				first = false
			}
			list = append(list, o)
		}
		return list
	},
}
