package grader

import "fmt"

var ruleExtensionsMany = Rule{
	Name:    "extensions-many",
	Part:    Validity,
	Asks:    "Add no more minutes to a stage than the house allows.",
	Why:     "A rate that has not settled by then will not settle: ask why (rhythm, heat, illness, worry), take the last value and mark it.",
	Sources: []string{"CHOICE-EXTENSIONS"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			switch n := len(s.Extensions); {
			case n > b.MaxExtensions:
				list = append(list, broken(s.Extensions[b.MaxExtensions], 0, fmt.Sprintf("extension of stage %d", s.Number),
					fmt.Sprintf("Stage %d already had %d added minutes.", s.Number, b.MaxExtensions), "You added one more.",
					"Take the last value, mark the stage, and go on or end."))
			case n > 0 && n == b.MaxExtensions:
				list = append(list, kept(s.Extensions[n-1]))
			}
		}
		return list
	},
}
