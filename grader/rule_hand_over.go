package grader

import (
	"fmt"
	"strings"
	"unicode"

	"kilopond/exercises"
)

var ruleHandOver = Rule{
	Name:    "hand-over",
	Part:    Procedure,
	Asks:    "After a test that ended for a sign of danger say in one sentence to whoever comes what happened, with the last pulse or pressure, and let nobody go before.",
	Why:     "Whoever takes over has seen nothing. A sentence with a time and a number saves them the questions, and it is what stands in the record tomorrow.",
	Sources: []string{"PRACTICE-EMERGENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		e, ok := emergencyOf(b, c)
		if !ok || c.ReleasedAtS < 0 {
			return nil
		}
		known := fmt.Sprintf("At %s: %s", where(c, e.AtS), wordsAt(c, e.AtS))
		const should = "Say what happened and when, what you did, the last pulse or pressure, how it is now."
		said := ""
		for _, i := range written(c, exercises.KeyHandOver) {
			if i.AtS <= c.ReleasedAtS {
				said = i.Text
			}
		}
		switch {
		case said == "":
			return []Opportunity{broken(c.ReleasedAtS, 0, "hand-over", known, "You told nobody what had happened.", should)}
		case len(strings.Fields(said)) < leastSentence || !strings.ContainsFunc(said, unicode.IsDigit):
			return []Opportunity{broken(c.ReleasedAtS, 0.5, "hand-over", known, "You said: “"+brief(said)+"”.", should)}
		}
		return []Opportunity{kept(c.ReleasedAtS)}
	},
}

// leastSentence is how many words tell anything. Source: [CHOICE-HAND-OVER].
const leastSentence = 6
