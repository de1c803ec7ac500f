package grader

import (
	"fmt"

	"kilopond/physiology/protocol"
)

var ruleSteadyAccepted = Rule{
	Name:    "steady-accepted",
	Part:    Validity,
	Asks:    "Go on to the next stage only when the last two minutes agree; else one more minute at the same load.",
	Why:     "A heart rate that is still climbing is too low for its load. The line then points too high, and so does the estimate.",
	Sources: []string{"CSEP2009", "HK"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for i, s := range c.Stages {
			if i == len(c.Stages)-1 {
				break // what follows is an end, not a next stage
			}
			rs := readings(c, s, s.ToS)
			cause := fmt.Sprintf("steady stage %d", s.Number)
			if missed := missedStop(b, c, s); missed != "" {
				cause = missed // that the test went on at all is what counts then
			}
			if _, danger := noticed(b, c, isEmergency, c.PedalAtS, s.ToS); danger {
				continue // what counts then is that the load was raised at all
			}
			if lasted := s.ToS - s.FromS; lasted < b.StageS-stageSlack {
				list = append(list, broken(s.ToS-1, 0, cause, fmt.Sprintf("Stage %d had lasted %s.", s.Number, clock(lasted)),
					"You began the next stage.", fmt.Sprintf("A stage lasts %s at least.", clock(b.StageS))))
				continue
			}
			earlier, later, ok := lastTwo(rs)
			if !ok && (len(rs) < 2 || missingPulse(b, c) != "") {
				continue // pulse-each-minute judges the missing count
			}
			if !ok { // a pressure ran over a mark: the two that there are must agree
				earlier, later = rs[len(rs)-2], rs[len(rs)-1]
			}
			switch {
			case steadyPair(b, earlier.HR, later.HR):
				list = append(list, kept(s.ToS))
			case len(s.Extensions) >= b.MaxExtensions:
				list = append(list, kept(s.ToS)) // no more minutes are allowed
			default:
				list = append(list, broken(s.ToS-1, 0, cause, fmt.Sprintf("Minute %d: %.0f bpm. Minute %d: %.0f bpm.", earlier.Minute, earlier.HR,
					later.Minute, later.HR), "You began the next stage.", fmt.Sprintf("%s One more minute at the same load.", steadyWords(b.Steady))))
			}
		}
		return list
	},
}

// stageSlack is how many seconds short of its length a stage may be. Source: [CHOICE-LATENCY].
const stageSlack = 15

// steadyWords says the steady rule in one sentence.
func steadyWords(r protocol.SteadyRule) string {
	switch r {
	case "lt5":
		return "The last two minutes must differ by less than 5 bpm."
	case "le6":
		return "The last two minutes may differ by 6 bpm at most."
	case "one_beat":
		return "The last two minutes may differ by one beat of the count at most."
	}
	return "The last two minutes may differ by 5 bpm at most."
}
