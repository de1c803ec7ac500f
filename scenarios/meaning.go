package scenarios

import (
	"sort"
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
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if len(a.Words) != len(b.Words) {
			return len(a.Words) > len(b.Words)
		}
		if a.Words != b.Words {
			return a.Words < b.Words
		}
		if a.Sign != b.Sign {
			return a.Sign < b.Sign
		}
		return a.Grade < b.Grade
	})
	return all
}
