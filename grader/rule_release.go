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
		for _, k := range c.Called {
			if k.AtS >= c.EndedAtS-callWithin {
				return nil // handed over to those who came
			}
		}
		if c.ReleasedAtS < 0 {
			return []Opportunity{broken(lastSecond(c), 0, "release", "The test had ended.", "You handed in with the person still there.",
				"Watch until the values are back, then let the person go, or call.")}
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
			return []Opportunity{broken(c.ReleasedAtS, 0, "release", fmt.Sprintf("The last pulse was %.0f bpm.", hr), "You let the person go.", should)}
		case high:
			return []Opportunity{broken(c.ReleasedAtS, 0, "release", "The last pressure was at the limit for starting or above.", "You let the person go.", should)}
		}
		if !within(askedAt(c, "symptoms"), c.EndedAtS, c.ReleasedAtS) {
			return []Opportunity{broken(c.ReleasedAtS, 0.5, "release question", "You did not know how the person felt.", "You let the person go without asking.", should)}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}
