package grader

import (
	"fmt"

	"kilopond/physiology/protocol"
)

var ruleBranchColumn = Rule{
	Name:    "branch-column",
	Part:    Validity,
	Asks:    "Set the load of stage 2 by the column of the stage-1 heart rate.",
	Why:     "The column spreads the stages over the heart rates that can be used. Too high a column may pass the ceiling with one point; too low a one takes extra stages, and the person tires.",
	Sources: []string{"CSEP2009", "HAND", "DACUMA"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) < 2 {
			return nil
		}
		hr, ok := branchHR(b, c)
		if !ok {
			return nil // pulse-each-minute judges the missing count
		}
		s := c.Stages[1]
		band, _ := protocol.Branch(b.Rules, hr)
		due := protocol.WorkRateOfStage(b.Rules, band, 2)
		if sameLoad(s.WorkRate, due) {
			o := kept(s.FromS)
			if nearEdge(b, float64(hr)) {
				o.Good = fmt.Sprintf("%.0f bpm is close to the edge of a band; you took the right column.", hr)
			}
			return []Opportunity{o}
		}
		return []Opportunity{broken(s.FromS, 0, raisedCause(b, c, 2, s.FromS), fmt.Sprintf("Stage 1 gave %.0f bpm.", hr),
			fmt.Sprintf("You set %.0f kg·m/min (%.1f kp).", s.WorkRate, s.Resistance),
			fmt.Sprintf("The column of %.0f bpm has %.0f kg·m/min (%.1f kp).", hr, due, due.Resistance(b.Cadence)))}
	},
}

// nearEdge says whether a rate lies within one beat of a 15-s count of a band's edge. Source: [CHOICE-NEAR-EDGE].
func nearEdge(b Rulebook, hr float64) bool {
	for _, band := range b.Bands {
		for _, edge := range []float64{float64(band.Below), float64(band.UpTo)} {
			if edge > 0 && hr >= edge-4 && hr <= edge+4 {
				return true
			}
		}
	}
	return false
}
