package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleSaddle = Rule{
	Name:    "saddle",
	Part:    Procedure,
	Asks:    "Set the saddle so that the knee is bent 25–35° with the foot at the lowest point.",
	Why:     "A low saddle tires the thighs early, costs more oxygen for the same load, and hurts the knee.",
	Sources: []string{"FREEZINGBLUE", "PRACTICE-SADDLE"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		should := fmt.Sprintf("Look at the knee and move the saddle until it is bent %d–%d°.", kneeLow, kneeHigh)
		knee, ok := measured(c, "knee_deg", c.PedalAtS)
		switch {
		case !ok || firstStep(c.Prepared, exercises.Saddle, "") < 0 && !ok:
			return []Opportunity{broken(c.PedalAtS, 0, "saddle", "The bend of the knee had not been looked at.", "You started the pedalling.", should)}
		case knee < kneeLow || knee > kneeHigh:
			return []Opportunity{broken(c.PedalAtS, 0, "saddle", fmt.Sprintf("The knee was bent %.0f°.", knee), "You left the saddle there.", should)}
		}
		return []Opportunity{kept(c.PedalAtS)}
	},
}

// kneeLow and kneeHigh bound the bend of the knee at the lowest point, in degrees. Source: [PRACTICE-SADDLE].
const kneeLow, kneeHigh = 25, 35
