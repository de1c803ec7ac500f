package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

var ruleHandOver = Rule{
	Name:    "hand-over",
	Part:    Procedure,
	Asks:    "After a test that ended for a sign of danger tell whoever comes what happened, when, what you did, and the last pulse or pressure, and let nobody go before.",
	Why:     "Whoever takes over has seen nothing. A sentence with a time and a number saves them the questions, and it is what stands in the record tomorrow.",
	Sources: []string{"PRACTICE-HAND-OVER", "CHOICE-HAND-OVER"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		e, ok := emergencyOf(b, c)
		if !ok || c.ReleasedAtS < 0 {
			return nil
		}
		known := fmt.Sprintf("At %s: %s", where(c, e.AtS), wordsAt(c, e.AtS))
		const should = "Say what happened and when, what you did, the last pulse or pressure, how it is now."
		var said []string
		for _, i := range written(c, exercises.KeyHandOver) {
			if i.AtS <= c.ReleasedAtS {
				said = append(said, i.Text)
			}
		}
		if len(said) == 0 {
			cause := "hand-over"
			if len(c.Called) == 0 {
				cause = "call" // nobody came who could be told
			}
			return []Opportunity{broken(c.ReleasedAtS, 0, cause, known, "You told nobody what had happened.", should)}
		}
		text := strings.Join(said, "; ")
		if missing := readHandOver(text).missing(); len(missing) > 0 {
			return []Opportunity{broken(c.ReleasedAtS, 1-float64(len(missing))/4, "hand-over", known,
				fmt.Sprintf("You said: “%s”. It does not tell %s.", brief(text), strings.Join(missing, ", ")), should)}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}
