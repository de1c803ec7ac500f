package scenarios

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"kilopond/physiology/body"
)

// A Meaning is what one line that a person may say, or one look, stands for: a sign with its grade, or a health answer that is not passed over.
type Meaning struct {
	Words    string
	Sign     body.Sign // "" for a health answer
	Grade    int
	Question string // of a health answer
}

// Meanings returns what the lines of the case and the common ones stand for, longest first: how an experienced listener understands people.
// It knows words and never who says them; a line that may mean nothing is not in it.
func (c Case) Meanings() []Meaning {
	var all []Meaning
	for _, signs := range []map[string][]string{c.Voice.Signs, defaultVoice().Signs} {
		for key, lines := range signs {
			part := strings.Split(signOf(key), "/")
			if len(part) != 3 || body.Sign(part[0]) == body.Harmless {
				continue
			}
			grade, err := strconv.Atoi(part[2])
			if err != nil {
				continue
			}
			for _, line := range lines {
				all = append(all, Meaning{Words: line, Sign: body.Sign(part[0]), Grade: grade})
			}
		}
	}
	flagged := func(answers []Answer) {
		for _, a := range answers {
			for _, line := range a.Says {
				if a.Flag {
					all = append(all, Meaning{Words: line, Question: a.Question})
				}
			}
		}
	}
	flagged(c.Health)
	for _, r := range c.Reasons {
		flagged(r.Health)
	}
	slices.SortFunc(all, func(a, b Meaning) int {
		return cmp.Or(cmp.Compare(len(b.Words), len(a.Words)), cmp.Compare(a.Words, b.Words), cmp.Compare(a.Sign, b.Sign), cmp.Compare(a.Grade, b.Grade),
			cmp.Compare(a.Question, b.Question))
	})
	return all
}
