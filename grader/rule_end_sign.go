package grader

import (
	"fmt"

	"kilopond/physiology/body"
)

var ruleEndSign = Rule{
	Name:    "end-sign",
	Part:    Safety,
	Asks:    "End the test by the next minute mark when the person is close to the end of their strength, cannot hold the rhythm, whistles or is short of breath, overheats, or has pain in a leg or knee that grows.",
	Why:     "A submaximal test must stay submaximal. A person at the end of their strength is no longer at a steady rate either, so more minutes add risk and no number.",
	Sources: []string{"NHANES-CVX", "BENJ", "PRACTICE-END-SIGNS", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		var list []Opportunity
		end := endOr(c)
		if n, ok := noticed(b, c, isEnd, c.PedalAtS, end+1); ok && !emergencyBy(b, c, n.AtS) {
			list = append(list, byMark(b, c, n.AtS, fmt.Sprintf("At %s: %s", where(c, n.AtS), wordsAt(c, n.AtS))))
		}
		for _, e := range c.Exertions {
			if e.Stage > 0 && e.RPE > b.Stop.AskRPE && e.AtS < end {
				list = append(list, byMark(b, c, e.AtS, fmt.Sprintf("At %s the person gave an exertion of %d.", where(c, e.AtS), e.RPE)))
				break
			}
		}
		// A fall of pressure that could only be measured, in a stage in which it was due and was not.
		for _, s := range c.Stages {
			if taken := cuffsIn(c, s.FromS, s.ToS); len(taken) > 0 || s.ToS-s.FromS < b.StageS-stageSlack || !pressureDue(b, s.Number) || s.Last && endReason(b, c, s.ToS) != "" {
				continue
			}
			for _, sign := range c.Closing.Signs {
				if sign.Sign == string(body.PressureFall) && sign.FromS < s.ToS && sign.ToS > s.FromS {
					return append(list, broken(s.ToS, 0, "", fmt.Sprintf("A pressure was due in stage %d; it would have shown a fall.", s.Number),
						"You took none and went on.", "Take the pressure of each stage before the load is raised."))
				}
			}
		}
		return list
	},
}

// emergencyBy says whether a sign of an emergency could be known by then, so that another rule judges the end.
func emergencyBy(b Rulebook, c *Course, at int) bool {
	n, ok := noticed(b, c, isEmergency, c.PedalAtS, endOr(c)+1)
	return ok && n.AtS <= at+60 // it would have come before the mark. Source: [CHOICE-LATENCY].
}

// byMark judges an end that is due by the next minute mark after a sign.
func byMark(b Rulebook, c *Course, at int, known string) Opportunity {
	should := "End the test by the next minute mark and raise no load."
	if raised := raisedAfter(c, at); raised >= 0 {
		return broken(at, 0, "end sign", known, fmt.Sprintf("You raised the load at %s.", where(c, raised)), should).closing("a stop was missed")
	}
	mark := at + 60
	if s, ok := stageAt(c, at); ok {
		mark = s.FromS + ((at-s.FromS)/60+1)*60
		if mark-at < b.Stop.EmergencyMissS { // too near to be met
			mark += 60
		}
	}
	switch {
	case c.EndedAtS >= 0 && c.EndedAtS <= mark+markSlack:
		return kept(at)
	case c.EndedAtS < 0:
		return broken(at, 0, "end sign", known, "You never ended the test.", should).closing("a stop was missed")
	}
	return broken(at, 0, "end sign", known, fmt.Sprintf("You ended the test %d s later.", c.EndedAtS-at), should)
}

// markSlack is how many seconds after a minute mark an end still counts as at the mark: the count that runs up to it, and the hand on the
// dial. Source: [CHOICE-LATENCY].
const markSlack = 20
