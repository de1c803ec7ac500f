package grader

import "fmt"

var ruleEmergencyCall = Rule{
	Name:    "emergency-call",
	Part:    Safety,
	Asks:    "After a stop for a sign of danger, or a confirmed fall of pressure, uneven pulse or flat rate, call for help within two minutes and stay.",
	Why:     "One person cannot hold, measure and telephone for long. The call costs a few seconds and nobody is blamed for one too many.",
	Sources: []string{"PRACTICE-EMERGENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 {
			return nil
		}
		known, from := emergencyKnown(b, c)
		if known == "" {
			return nil
		}
		for _, k := range c.Called {
			if k.What != "defibrillator" && k.AtS >= c.PedalAtS && k.AtS <= from+callWithin { // who is on the way already need not be called again
				return []Opportunity{kept(k.AtS)}
			}
		}
		did := "You called nobody."
		if len(c.Called) > 0 {
			did = fmt.Sprintf("You called at %s.", where(c, c.Called[0].AtS))
		}
		return []Opportunity{broken(from, 0, "call", known, did, "Call the instructor or an ambulance and stay with the person.")}
	},
}

// callWithin is how many seconds from the end a call may take. Source: [CHOICE-LATENCY].
const callWithin = 120

// emergencyKnown is what of an emergency could be known, in a sentence, and from when help is due: a sign, or a doubt that was confirmed; "" when
// nothing was.
func emergencyKnown(b Rulebook, c *Course) (known string, from int) {
	if e, ok := emergencyOf(b, c); ok {
		return fmt.Sprintf("At %s: %s", where(c, e.AtS), wordsAt(c, e.AtS)), e.fromS
	}
	if f, fell := fallOf(b, c); fell && f.confirmed {
		return "The repeat confirmed the fall of pressure.", c.EndedAtS
	}
	if d, doubted := confirmedDoubt(b, c); doubted {
		return "The longer count confirmed it: " + d.cause + ".", c.EndedAtS
	}
	return "", 0
}
