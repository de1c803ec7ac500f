package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleRestRepeat = Rule{
	Name:    "rest-repeat",
	Part:    Safety,
	Asks:    "When a resting value is at the limit or beyond, rest the person again and take a second reading before you decide.",
	Why:     "Nerves, a walk up the stairs or one misheard beat can lift a single reading. A second one keeps a healthy person from being sent away, and a sick one from being let on by hope.",
	Sources: []string{"PHRE1033", "CHOICE-REST-LIMITS"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !b.Screening.RepeatWhenHigh || len(flags(c)) > 0 {
			return nil
		}
		decided := firstStep(c.Screening, exercises.Decide, "")
		if begun(c) {
			decided = c.PedalAtS
		} else if n := len(c.Screening); n > 0 {
			decided = c.Screening[n-1].AtS
		}
		first, high := firstHigh(b, c)
		if !high || decided < 0 || first.level == refuse {
			return nil
		}
		for _, r := range restReadings(b, c) {
			if r.fromS > first.toS && r.kind == first.kind && r.toS <= decided {
				if r.fromS-first.toS >= b.Screening.RepeatAfterS-repeatSlack {
					return []Opportunity{kept(r.toS)}
				}
				return []Opportunity{broken(r.fromS, 0.5, "repeat", fmt.Sprintf("The first reading was %s.", first.text),
					fmt.Sprintf("You repeated it after %s.", clock(r.fromS-first.toS)),
					fmt.Sprintf("Let the person rest %d s before the second reading.", b.Screening.RepeatAfterS))}
			}
		}
		return []Opportunity{broken(decided, 0, "repeat", fmt.Sprintf("The first reading was %s.", first.text),
			"You decided on one reading.", fmt.Sprintf("Rest %d s more, measure again, then decide.", b.Screening.RepeatAfterS))}
	},
}

// repeatSlack is how many seconds too early a second resting reading may be. Source: [CHOICE-REPEAT-SLACK].
const repeatSlack = 15
