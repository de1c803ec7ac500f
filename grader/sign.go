package grader

import (
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

// A notice is the first second at which a sign could be known by somebody who does what is due, and until when it lasted.
type notice struct {
	Sign     body.Sign
	Grade    int
	AtS, ToS int
}

// isEmergency says whether the sign ends a test at once. Source: [NHANES-CVX], [BENJ], [PRACTICE-EMERGENCY].
func isEmergency(s body.Sign, grade int) bool {
	switch s {
	case body.ChestDiscomfort, body.Lightheaded, body.Pallor, body.Confused, body.ColdSweat, body.Shaky, body.Nausea:
		return true
	case body.Wheeze: // who cannot speak a sentence
		return grade >= 3
	}
	return false
}

// isEnd says whether the sign ends a test in good order, by the next minute mark. Pain in a leg or a knee does so from grade 2 on: what is
// only just there is asked about again. Source: [NHANES-CVX], [BENJ], [PATH], [PRACTICE-END-SIGNS].
func isEnd(s body.Sign, grade int) bool {
	switch s {
	case body.SevereExertion, body.CadenceLost, body.BreathlessAtRest, body.UnwellToday, body.Wheeze, body.Breathless, body.Overheated:
		return true
	case body.LegPain, body.KneePain:
		return grade >= 2
	}
	return false
}

// noticed finds the first second in [from, to) at which a sign of the kind could be known; ok is false when there was none.
//
// What is said or done unasked is known at once; what can be seen at the first look; what must be asked for when it was asked. A look
// and a question are due each minute, so that not looking does not put the second off by more than that.
func noticed(b Rulebook, c *Course, kind func(body.Sign, int) bool, from, to int) (first notice, ok bool) {
	for _, span := range c.Closing.Signs {
		if !kind(body.Sign(span.Sign), span.Grade) || span.ToS <= from || span.FromS >= to {
			continue
		}
		if body.Sign(span.Sign) == body.CadenceLost && span.ToS-span.FromS < b.Stop.CadenceLostS {
			continue // a foot that comes late and finds the beat again
		}
		start := max(span.FromS, from)
		due := freeHands(c, start+b.Stop.LookEveryS)
		at := start
		switch body.Channel(span.Channel) {
		case body.Seen:
			at = firstWithin(c.Looks, start, due)
		case body.Found:
			at = firstWithin(askedAt(c, "symptoms"), start, due)
		}
		if at >= span.ToS || at >= to {
			continue
		}
		if !ok || at < first.AtS {
			first, ok = notice{Sign: body.Sign(span.Sign), Grade: span.Grade, AtS: at, ToS: span.ToS}, true
		}
	}
	return first, ok
}

// freeHands moves a second at which a look is due to when the hands are free again, if a pressure or the count after it was under way.
func freeHands(c *Course, due int) int {
	for _, k := range c.Cuffs {
		if k.FromS <= due && k.ToS > due {
			due = k.ToS
		}
	}
	for _, k := range c.Counts {
		if k.FromS-handsS <= due && k.ToS > due {
			due = k.ToS
		}
	}
	return due + handsS
}

// handsS is how many seconds it takes to put things down, look up and ask. Source: [CHOICE-HANDS].
const handsS = 15

// firstWithin is the first of the seconds that lies in [from, due], else due.
func firstWithin(seconds []int, from, due int) int {
	for _, s := range seconds {
		if s >= from && s <= due {
			return s
		}
	}
	return due
}

// askedAt are the seconds at which one thing was asked.
func askedAt(c *Course, what string) []int {
	var list []int
	for _, s := range c.Asked {
		if s.What == what {
			list = append(list, s.AtS)
		}
	}
	return list
}

// wordsAt are the words that reached the proctor about then: the first said or seen in [at, at+12], else the last in [at−2, at), or what is known
// without words.
func wordsAt(c *Course, at int) string {
	if c.State == nil {
		return "the sign was there."
	}
	before := ""
	for _, e := range c.State.Events {
		if e.AtS < at-2 || e.AtS > at+12 { // seconds that a question or a look takes. Source: [CHOICE-WORDS-NEAR].
			continue
		}
		words := ""
		switch f := e.Fact.(type) {
		case exercises.Said:
			if f.Unasked || f.To == "symptoms" {
				words = "“" + brief(f.Words) + "”"
			}
		case exercises.Noticed:
			words = strings.TrimSuffix(brief(f.Words), ".") + "."
		}
		switch {
		case words != "" && e.AtS >= at:
			return words
		case words != "":
			before = words // a look just before the sign shows something else: it serves only when nothing was said or seen after it
		}
	}
	if before != "" {
		return before
	}
	return "it could have been seen, or heard by asking."
}

// brief cuts words to at most fourteen, so that a finding stays short.
func brief(words string) string {
	n := 0
	for i, r := range words {
		if r == ' ' {
			n++
			if n == 14 {
				return words[:i] + " …"
			}
		}
	}
	return words
}

// workUntil is the first second at which a sign no longer finds the test running. To stop takes effect in the second in which it is said; to
// cool down takes one, and what shows in that second comes too late to choose otherwise.
func workUntil(c *Course) int {
	if c.EndedHow == exercises.Stop {
		return endOr(c) + 1
	}
	return endOr(c)
}

// overtaken says whether a duty that fell due at a second was overtaken by a sign of an emergency: the person comes first.
func overtaken(b Rulebook, c *Course, due int) bool {
	if !begun(c) {
		return false
	}
	n, ok := noticed(b, c, isEmergency, c.PedalAtS, workUntil(c))
	return ok && due >= n.AtS-handsS
}
