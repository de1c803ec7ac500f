package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

var ruleCuffSize = Rule{
	Name:    "cuff-size",
	Part:    Procedure,
	Asks:    "Choose the cuff by the girth of the arm before the first pressure.",
	Why:     "A cuff too small reads about 5–20 mmHg high, one too large a little low. Four in ten men need the large one.",
	Sources: []string{"PICKERING2005", "ISHIGAMI2023", "OSTCHEGA2013"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Cuffs) == 0 {
			return nil
		}
		first := c.Cuffs[0].FromS
		chosen := ""
		for _, p := range c.Prepared {
			if p.Act == exercises.Cuff && p.AtS <= first {
				chosen = p.What
			}
		}
		arm, ok := measured(c, "arm_cm", first)
		if !ok {
			return []Opportunity{broken(first, 0, "cuff", "The arm had not been measured.", "You took a pressure.", "Measure the arm and choose the cuff by its girth.")}
		}
		right := instrument.FittingCuff(unit.Girth(arm))
		if chosen == string(right) {
			return []Opportunity{kept(first)}
		}
		did := "You chose no cuff."
		if chosen != "" {
			did = fmt.Sprintf("You used the cuff %s.", strings.ReplaceAll(chosen, "_", " "))
		}
		return []Opportunity{broken(first, 0, "cuff", fmt.Sprintf("The arm measured %.1f cm.", arm), did,
			fmt.Sprintf("This arm needs the cuff %s.", strings.ReplaceAll(string(right), "_", " ")))}
	},
}
