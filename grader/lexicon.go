package grader

import (
	"strings"

	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// A lexicon is how an experienced proctor understands what people say and how they look: words to signs. It comes from the ways in
// which people of the case speak, so the reference proctor knows words, and never the body behind them.
type lexicon struct {
	lines []scenarios.Meaning
	heard map[string]understood // lines met before: people repeat themselves
}

// understood is what one line carries.
type understood struct {
	signs []meaning
	flag  string // a health answer that is not passed over, or ""
}

type meaning struct {
	sign  body.Sign
	grade int
}

// newLexicon learns the ways of speaking of a case.
func newLexicon(c scenarios.Case) *lexicon {
	return &lexicon{lines: c.Meanings(), heard: map[string]understood{}}
}

// understand finds what the words carry.
func (l *lexicon) understand(words string) understood {
	if u, ok := l.heard[words]; ok {
		return u
	}
	var u understood
	for _, m := range l.lines {
		switch {
		case m.Words == "" || !strings.Contains(words, m.Words):
		case m.Sign != "":
			u.signs = append(u.signs, meaning{m.Sign, m.Grade})
		case u.flag == "":
			u.flag = m.Words
		}
	}
	l.heard[words] = u
	return u
}
