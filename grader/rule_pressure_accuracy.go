package grader

import "fmt"

var rulePressureAccuracy = Rule{
	Name:    "pressure-accuracy",
	Part:    Procedure,
	Asks:    "Write the pressures at which the sounds began and went, or that a helper reports.",
	Why:     "Stop limits, the fall between stages and the decision to start hang on these two numbers.",
	Helped:  "A helper's number stands as the reading: that it was rounded you cannot know, and it costs you nothing; a fall is repeated like any other.",
	Sources: []string{"WSU", "BP1991", "CHOICE-TOLERANCES"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, k := range c.Cuffs {
			if !k.read() || k.WroteSystolic == nil {
				continue
			}
			sys, dia := b.Tolerances.RestBP, b.Tolerances.RestBP
			if k.Stage != 0 {
				sys, dia = b.Tolerances.WorkSBP, b.Tolerances.WorkDBP
			}
			credit := sys.Credit(float64(*k.WroteSystolic - k.Systolic))
			if k.WroteDiastolic != nil {
				credit = (credit + dia.Credit(float64(*k.WroteDiastolic-k.Diastolic))) / 2
			}
			if credit == 1 {
				list = append(list, kept(k.FromS))
				continue
			}
			should := "Write the first of two sounds in a row, and the last sound; when they run on to nothing, where they are first muffled."
			if k.Helped {
				should = "Write what the helper reports."
			}
			list = append(list, broken(k.FromS, credit, cuffCause(k),
				k.said(), fmt.Sprintf("You wrote %.0f/%.0f mmHg.", k.systolic(), k.diastolic()), should))
		}
		return list
	},
}

// cuffCause names a misread pressure as a cause.
func cuffCause(k CuffTake) string { return fmt.Sprintf("reading of pressure at %d", k.FromS) }
