package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

var ruleStopEmergency = Rule{
	Name:    "stop-emergency",
	Part:    Safety,
	Asks:    "End the test at once when discomfort in the chest, faintness, a grey face, cold sweat, shaking, sickness, odd answers or no breath to speak shows: load off, pedals stopped, person steadied.",
	Why:     "These signs say that heart or brain may be short of blood, sugar or air. Each further second of work adds to it. A few seconds are enough to take the load off.",
	Sources: []string{"NHANES-CVX", "PRACTICE-EMERGENCY", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		n, ok := noticed(b, c, isEmergency, c.PedalAtS, workUntil(c))
		if !ok {
			return nil
		}
		o := atOnce(b, c, n, "stop-emergency")
		if o.Credit == 1 && c.EndedHow != exercises.Stop {
			o = broken(n.AtS, 0.5, "stop-emergency", fmt.Sprintf("At %s: %s", where(c, n.AtS), wordsAt(c, n.AtS)),
				"You went on with light pedalling.", "Take the load off, stop the pedals and steady the person.")
		}
		if o.Credit == 1 {
			o.Good = "You ended the test in the second of the first sign that could be known."
			if after := c.EndedAtS - n.AtS; after > 0 {
				o.Good = fmt.Sprintf("You ended the test %d s after the first sign that could be known.", after)
			}
		}
		return []Opportunity{o}
	},
}

// atOnce judges how soon the test ended after a sign that asks for it at once.
func atOnce(b Rulebook, c *Course, n notice, cause string) Opportunity {
	known := fmt.Sprintf("At %s: %s", where(c, n.AtS), wordsAt(c, n.AtS))
	should := fmt.Sprintf("End the test within %d s of a sign like this, and raise no load.", b.Stop.EmergencyFullS)
	if c.EndedAtS < 0 {
		return broken(n.AtS, 0, cause, known, "You never ended the test.", should).closing("a stop was missed")
	}
	late := c.EndedAtS - n.AtS
	if raised := raisedAfter(c, n.AtS); raised >= 0 {
		return broken(n.AtS, 0, cause, known, fmt.Sprintf("You raised the load at %s.", where(c, raised)), should).closing("a stop was missed")
	}
	if late <= b.Stop.EmergencyFullS {
		return kept(n.AtS)
	}
	did := fmt.Sprintf("You ended the test %d s later.", late)
	if late > b.Stop.EmergencyMissS {
		return broken(n.AtS, 0, cause, known, did, should).closing("a stop was missed")
	}
	return broken(n.AtS, share(float64(late), float64(b.Stop.EmergencyFullS), float64(b.Stop.EmergencyMissS+1)), cause, known, did, should)
}

// asksToStop picks the one sign.
func asksToStop(s body.Sign, _ int) bool { return s == body.AskedToStop }
