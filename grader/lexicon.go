package grader

import (
	"strings"

	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// A lexicon is how an experienced proctor understands what people say and how they look: words to signs. It comes from the ways in
// which people of the case speak, so the reference proctor knows words, and never the body behind them.
type lexicon []scenarios.Meaning

type meaning struct {
	sign  body.Sign
	grade int
}

// readLexicon reads the ways of speaking of a case; those common to everybody when the case is not in the library.
func readLexicon(caseID string) lexicon {
	c, err := scenarios.Load(caseID)
	if err != nil {
		return scenarios.Case{}.Meanings()
	}
	return c.Meanings()
}

// meaning finds the signs that the words carry.
func (l lexicon) meaning(words string) (found []meaning) {
	for _, m := range l {
		if m.Sign != "" && m.Words != "" && strings.Contains(words, m.Words) {
			found = append(found, meaning{m.Sign, m.Grade})
		}
	}
	return found
}

// flag finds a health answer that is not passed over.
func (l lexicon) flag(words string) (string, bool) {
	for _, m := range l {
		if m.Question != "" && strings.Contains(words, m.Words) {
			return m.Words, true
		}
	}
	return "", false
}
