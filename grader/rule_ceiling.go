package grader

import (
	"fmt"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

var ruleCeiling = Rule{
	Name:    "ceiling",
	Part:    Safety,
	Asks:    "End the test by the next minute mark when the heart rate reaches the ceiling; never raise the load at or above it.",
	Why:     "The ceiling keeps the test submaximal in a person who has no doctor beside them. Points above it are outside the window anyway.",
	Sources: []string{"CSEP2009", "PATH", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		ceiling, ok := houseCeiling(b, c)
		if !begun(c) || !ok {
			return nil
		}
		for _, s := range c.Stages {
			list := readings(c, s, s.ToS)
			for i, r := range list {
				steady := i > 0 && steadyPair(b, list[i-1].HR, r.HR)
				if protocol.AtCeiling(b.Rules, r.HR, ceiling, steady) {
					return []Opportunity{atCeiling(b, c, s, r, ceiling)}
				}
				if o, far := misreadCeiling(b, c, r, ceiling); far {
					return []Opportunity{o}
				}
			}
		}
		if len(c.Stages) == 0 {
			return nil
		}
		return []Opportunity{kept(endOr(c))}
	},
}

// atCeiling judges what followed the first reading at or above the ceiling.
func atCeiling(b Rulebook, c *Course, s StageRun, r minuteReading, ceiling unit.HR) Opportunity {
	known := fmt.Sprintf("Minute %d: %.0f bpm. The ceiling is %.1f bpm.", r.Minute, r.HR, ceiling)
	should := "End the test by the next minute mark; use the steady stages below."
	if raised := raisedAfter(c, r.AtS); raised >= 0 {
		return broken(r.AtS, 0, "ceiling", known, fmt.Sprintf("You raised the load at %s.", where(c, raised)), should).
			closing("the load was raised at or above the ceiling")
	}
	for _, later := range readings(c, s, s.ToS) {
		if later.Minute > r.Minute && later.HR >= ceiling {
			return broken(r.AtS, 0, "ceiling", known, fmt.Sprintf("You went on; minute %d was %.0f bpm.", later.Minute, later.HR), should).
				closing("two minute readings in a row were at or above the ceiling")
		}
	}
	mark := s.FromS + r.Minute*60 + 60 + markSlack
	if c.EndedAtS >= 0 && c.EndedAtS <= mark {
		o := kept(r.AtS)
		o.Good = fmt.Sprintf("You ended the test when the rate reached %.0f bpm; the ceiling is %.1f bpm.", r.HR, ceiling)
		return o
	}
	return broken(r.AtS, 0, "ceiling", known, "You went on at the same load.", should)
}

// misreadCeiling closes the gate when a reading hid a rate beyond the ceiling by more than two beats of the count.
func misreadCeiling(b Rulebook, c *Course, r minuteReading, ceiling unit.HR) (Opportunity, bool) {
	step := 60 / unit.HR(max(1, b.Count.Seconds))
	felt := r.Count.HR
	if felt < ceiling || felt-r.HR <= 2*step || r.Count.WroteHR == nil {
		return Opportunity{}, false
	}
	if c.EndedAtS >= 0 && c.EndedAtS <= r.AtS+60+markSlack {
		return Opportunity{}, false
	}
	return broken(r.AtS, 0, pulseCause(r.Count), fmt.Sprintf("%s The ceiling is %.1f bpm.", r.Count.said(), ceiling),
		fmt.Sprintf("You wrote %.0f bpm and went on.", r.HR), "Count and multiply again when a rate near the ceiling seems to fall.").
		closing("the rate was beyond the ceiling and was misread"), true
}

// reachedCeiling says whether a reading of the stage asked for an end.
func reachedCeiling(b Rulebook, c *Course, s StageRun) bool {
	ceiling, ok := houseCeiling(b, c)
	if !ok {
		return false
	}
	list := readings(c, s, s.ToS)
	for i, r := range list {
		if protocol.AtCeiling(b.Rules, r.HR, ceiling, i > 0 && steadyPair(b, list[i-1].HR, r.HR)) {
			return true
		}
	}
	return false
}
