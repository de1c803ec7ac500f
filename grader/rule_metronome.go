package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

var ruleMetronome = Rule{
	Name:    "metronome",
	Part:    Validity,
	Asks:    "Let the metronome beat at the house's cadence from before the first stage to the end.",
	Why:     "The load is resistance times cadence. A rhythm that nobody hears is kept by nobody, and 10 % of cadence is 10 % of load.",
	Sources: []string{"KINE4315", "CSEP2009"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 || c.State == nil {
			return nil
		}
		beat := unit.Cadence(0)
		from := c.Stages[0].FromS
		for _, e := range c.State.Events {
			m, ok := e.Fact.(exercises.MetronomeSet)
			if !ok || e.AtS >= endOr(c) {
				continue
			}
			if e.AtS > from && unit.Cadence(m.CadenceRPM) != b.Cadence {
				return []Opportunity{broken(e.AtS, 0, "metronome", fmt.Sprintf("The house's cadence is %.0f rpm.", b.Cadence),
					fmt.Sprintf("You set the metronome to %.0f.", m.CadenceRPM), "Leave it at the house's cadence until the end.")}
			}
			if e.AtS <= from {
				beat = unit.Cadence(m.CadenceRPM)
			}
		}
		if beat == b.Cadence {
			return []Opportunity{kept(from)}
		}
		did := fmt.Sprintf("You began stage 1 with the metronome at %.0f.", beat)
		if beat == 0 {
			did = "You began stage 1 with the metronome silent."
		}
		return []Opportunity{broken(from, 0, "metronome", fmt.Sprintf("The house's cadence is %.0f rpm.", b.Cadence), did, "Set the metronome before the first stage.")}
	},
}
