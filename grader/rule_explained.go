package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

var ruleExplained = Rule{
	Name:    "explained",
	Part:    Procedure,
	Asks:    "Explain the test, the exertion scale and the signals to stop before the person pedals.",
	Why:     "A person who knows the scale gives numbers that mean something, and one who knows the signal uses it.",
	Sources: []string{"PHRE1033", "EXRX"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		var missing []string
		for _, what := range []string{"test", "scale", "signals"} {
			if !before(c, firstStep(c.Prepared, exercises.Explain, what)) {
				missing = append(missing, what)
			}
		}
		if len(missing) == 0 {
			return []Opportunity{kept(c.PedalAtS)}
		}
		return []Opportunity{broken(c.PedalAtS, 1-float64(len(missing))/3, "explain", "The person was about to pedal.",
			fmt.Sprintf("You had not explained: %s.", strings.Join(missing, ", ")), "Explain the test, the scale and the signals first.")}
	},
}
