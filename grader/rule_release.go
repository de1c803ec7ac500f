package grader

import (
	"fmt"

	"kilopond/physiology/unit"
)

var ruleRelease = Rule{
	Name:    "release",
	Part:    Safety,
	Asks:    "Let the person go only when pulse and pressure are back within the limits and they feel well.",
	Why:     "A person who walks out with a racing heart or a low pressure may faint on the stairs. The last readings are the permission to leave.",
	Sources: []string{"NHANES-CVX", "PATH", "CHOICE-RELEASE"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 {
			return nil
		}
		help := helpDue(b, c)
		for _, k := range c.Called {
			if k.AtS >= c.EndedAtS-callWithin && (help != "" || k.AtS >= c.EndedAtS+b.CoolDown.WatchS || c.ReleasedAtS >= c.EndedAtS+longWatch) {
				return nil // handed over to those who came: for a sign, or because the values did not come back
			}
		}
		cause := "release"
		if help != "" {
			cause = "call" // nobody was there to take the person over
		}
		if c.ReleasedAtS < 0 {
			return []Opportunity{broken(lastSecond(c), 0, "recovery", "The test had ended.", "You left the attempt with the person still there.",
				"Go on with it: watch until the values are back, then let the person go, or call.")}
		}
		hr, pressure, high := unit.HR(0), false, false
		for _, k := range c.Counts {
			if whole(k) && k.FromS >= c.EndedAtS && k.ToS <= c.ReleasedAtS {
				hr = k.Reading()
			}
		}
		for _, k := range c.Cuffs {
			if k.read() && k.FromS >= c.EndedAtS && k.ToS <= c.ReleasedAtS {
				pressure = true
				high = k.systolic() >= b.Screening.PostponeSBP || k.diastolic() >= b.Screening.PostponeDBP
			}
		}
		should := fmt.Sprintf("Release at %.0f bpm or less, the pressure below the limits for starting, and no complaint when asked.", b.CoolDown.ReleaseHR)
		switch {
		case hr == 0 || !pressure:
			return []Opportunity{broken(c.ReleasedAtS, 0, "recovery", "You had no reading of the recovery to go by.", "You let the person go.", should)}
		case hr > b.CoolDown.ReleaseHR:
			return []Opportunity{broken(c.ReleasedAtS, 0, cause, fmt.Sprintf("The last pulse was %.0f bpm.", hr), "You let the person go.", should)}
		case high:
			return []Opportunity{broken(c.ReleasedAtS, 0, cause, "The last pressure was at the limit for starting or above.", "You let the person go.", should)}
		}
		if !within(askedAt(c, "symptoms"), c.EndedAtS, c.ReleasedAtS) {
			return []Opportunity{broken(c.ReleasedAtS, 0.5, "release question", "You did not know how the person felt.", "You let the person go without asking.", should)}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}

// helpDue is why somebody should come, in a sentence; "" when the test ended as planned and the recovery showed nothing.
func helpDue(b Rulebook, c *Course) string {
	if known, _ := emergencyKnown(b, c); known != "" {
		return known
	}
	if n, ok := noticed(b, c, isEmergency, c.PedalAtS, lastSecond(c)+1); ok {
		return fmt.Sprintf("At %s: %s", where(c, n.AtS), wordsAt(c, n.AtS))
	}
	if n, ok := noticed(b, c, isEnd, c.PedalAtS, lastSecond(c)+1); ok {
		return fmt.Sprintf("At %s: %s", where(c, n.AtS), wordsAt(c, n.AtS))
	}
	return ""
}
