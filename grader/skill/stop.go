package skill

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/stats"
	"kilopond/scenarios"
)

// The kinds of moments. Half of them have something wrong; half of those must end the test, half look like it and must not.
// Source: [CHOICE-CASEMIX] the halves; [WOLFE2006] high prevalence with full feedback.
const (
	mustEnd   = "must end"
	lookAlike = "look-alike"
	nothing   = "nothing wrong"
)

func stopSkill() Skill {
	mix := []share{{nothing, 2}, {mustEnd, 1}, {lookAlike, 1}}
	return Skill{
		Name: Stop, Asks: "Go on, check again, end, or stop at once, by what is said, seen and measured.", N: 4,
		Levels: [Levels]string{"plain signs", "less plain signs", "any sign", "signs that are hard to see"},
		kinds:  [Levels][]share{mix, mix, mix, mix},
		draw:   (*Maker).stop,
	}
}

// hardness are the lowest and highest difficulty of a case whose sign must end the test, by level. Source: [CHOICE-SKILL-LEVELS].
var hardness = [Levels][2]int{{1, 3}, {1, 4}, {1, 5}, {4, 5}}

// stop takes a moment of a test.
func (m *Maker) stop(it *Item) error {
	r := it.stream("draw")
	fits := func(c scenarios.Case) bool {
		switch it.Kind {
		case mustEnd:
			of := hardness[it.Level-1]
			return c.Stratum() == scenarios.MustStop && c.Difficulty >= of[0] && c.Difficulty <= of[1]
		case lookAlike:
			return c.Stratum() == scenarios.LookAlike && len(c.Ills) > 0
		}
		return c.Stratum() != scenarios.NotTested // before its trouble comes, anybody is well
	}
	return m.meet(r, fits, func(t test) bool {
		// Any stage is as likely as another, since signs come in any.
		stages := map[int][]int{}
		highest := 0
		t.replay(func(s *exercises.State, before int) bool {
			if t.mayBe(it.Kind, s, t.played.Lines[before].Command) {
				stages[s.Stage] = append(stages[s.Stage], before)
				highest = max(highest, s.Stage)
			}
			return false
		})
		if highest == 0 {
			return false
		}
		stage := 1 + r.IntN(highest)
		for len(stages[stage]) == 0 {
			stage++
		}
		in := stages[stage]
		p := grader.NewProctor(m.book)
		for _, i := range r.Perm(len(in)) {
			s := t.at(in[i])
			now, ok := p.Need(s)
			if ok && m.kindOfMoment(t, s, now) == it.Kind {
				m.stopItem(it, t, s, now)
				return true
			}
		}
		return false
	})
}

// mayBe is a quick look whether a moment, at which the reference proctor did so, may be of the kind.
func (t test) mayBe(kind string, s *exercises.State, did exercises.Command) bool {
	switch kind {
	case mustEnd: // the first at which it must: what comes after it is late
		return did.Act == exercises.Stop || did.Act == exercises.CoolDown
	case nothing:
		return talked(s)
	}
	switch did.Act {
	case exercises.Coach, exercises.Resistance, exercises.Pressure:
		return true
	case exercises.Count:
		return did.Seconds > 15 // felt again
	}
	return t.worrying(s) != "" || did.Act == exercises.Look && slices.ContainsFunc(t.closing.Signs, func(x exercises.SignSpan) bool {
		return x.FromS <= s.ClockS && x.ToS >= s.ClockS-lateS
	})
}

// kindOfMoment says of which kind a moment is; "" when of none: a planned end, the ceiling, or one beat below it.
func (m *Maker) kindOfMoment(t test, s *exercises.State, now grader.Need) string {
	ends := now.Accepts(grader.End) || now.Accepts(grader.Emergency)
	switch {
	case now.Planned || now.Ceiling:
		return ""
	case ends && !now.Accepts(grader.GoOn):
		return mustEnd
	case ends:
		return ""
	case now.Odd || t.worrying(s) != "":
		return lookAlike
	case talked(s) && !m.nearLimit(s):
		return nothing
	}
	return ""
}

// nearPressure is how near the limit a pressure must be to leave a moment in doubt, in mmHg. Source: [CHOICE-NEAR-EDGE]; a reading at work is good to
// within 6 [CHOICE-TOLERANCES].
const nearPressure = 10

// nearLimit says whether a pressure of this or the last stage is so near its limit that a careful person may well take it again.
func (m *Maker) nearLimit(s *exercises.State) bool {
	for _, e := range s.Events {
		if f, ok := e.Fact.(exercises.CuffFell); ok && e.AtS >= s.StageFromS {
			if heard, ok := grader.HeardPressure(f); !ok || heard.Systolic > m.book.Stop.SystolicMax-nearPressure || heard.Diastolic > m.book.Stop.DiastolicMax-nearPressure {
				return true
			}
		}
	}
	return false
}

// stopItem makes the question of a moment.
func (m *Maker) stopItem(it *Item, t test, s *exercises.State, now grader.Need) {
	clock := s.ClockS - s.StageFromS
	it.Facts = []Fact{text(who(s.Header.Subject) + " " + m.atRest(s))}
	if sheet := sheetSoFar(m.book, s); len(sheet.Rows) > 0 {
		it.Facts = append(it.Facts, Fact{Table: sheet})
	}
	it.Facts = append(it.Facts, lately(s)...)
	it.Facts = append(it.Facts, text(fmt.Sprintf("Now: stage %d, %d:%02d, %s kp.", s.Stage, clock/60, clock%60, plain(s.ResistanceKp))))
	it.Ask = "What now?"
	it.Choices = callWords()
	worry := t.worrying(s)
	if worry != "" && now.Accepts(grader.GoOn) && !now.Accepts(grader.Recheck) {
		now.Accept = append(now.Accept, grader.Recheck) // a question more about what may worry is never wrong
	}
	it.judge = func(a Answer) Verdict {
		call := grader.Call(a.Choice)
		v := Verdict{Right: now.Accepts(call)}
		if v.Right {
			v.Credit = 1
		}
		rule := m.rules[now.Rule]
		v.Why, v.Source = rule.WhyIn(m.book), rule.Sources
		switch {
		case now.Rule == "pressure-limit":
			v.Known = now.Why + fmt.Sprintf(" The limit is %.0f/%.0f mmHg.", m.book.Stop.SystolicMax, m.book.Stop.DiastolicMax)
		case now.Accept[0] != grader.GoOn:
			v.Known = now.Why
		case worry != "":
			v.Known = "“" + strings.TrimSuffix(worry, ".") + "” — no sign that ends a test."
		case now.Odd:
			v.Known = "What is only just there is watched; it is no reason to end the test yet."
		default:
			v.Known = "Nothing that was said, seen or measured asks for an end or for a second look."
		}
		if ends := call == grader.End || call == grader.Emergency; !v.Right && ends && it.Kind == mustEnd {
			v.Credit = 0.5 // the test did end: one of the two rules that speak of the end is kept
		}
		if call == grader.Recheck && now.Accept[0] == grader.GoOn {
			look := m.rules["look-and-ask"]
			v.Why, v.Source = "A second look takes from seconds to a minute in which the next count or pressure is due. It is for what raises a doubt.", look.Sources
		}
		if one := t.subject.Case; it.Kind == lookAlike && now.Accept[0] == grader.GoOn || it.Kind == mustEnd && now.Rule == "end-sign" {
			v.Why, v.Source = one.Teaches, one.Sources
		}
		v.Did = chose(it.Choices, a.Choice)
		v.Should = shouldOf(it.Choices, now.Accept)
		return v
	}
}

// Detect counts the decisions of the stop skill, at every level: of the moments that had to end, how often the test was ended, in whichever way;
// of the others, how often it was ended for nothing.
func Detect(answers []exercises.Answered) stats.Detection {
	var d stats.Detection
	for _, a := range fresh(answers) {
		if a.Skill != string(Stop) {
			continue
		}
		ended := a.Answer == string(grader.End) || a.Answer == string(grader.Emergency)
		if a.Kind == mustEnd {
			d.Signals++
			if ended {
				d.Hits++
			}
			continue
		}
		d.Rest++
		if ended {
			d.FalseStops++
		}
	}
	return d
}

// says is what a word stands for.
func says(choices []Choice, word string) string {
	for _, c := range choices {
		if c.Word == word {
			return c.Says
		}
	}
	return word
}

// chose says what was answered.
func chose(choices []Choice, word string) string {
	return "You chose " + word + ": " + says(choices, word) + "."
}

// shouldOf names what is acceptable.
func shouldOf(choices []Choice, accept []grader.Call) string {
	var all []string
	for _, c := range accept {
		all = append(all, says(choices, string(c)))
	}
	return "Acceptable: " + joinOr(all) + "."
}
