package skill

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// The kinds of people who may walk in.
const (
	mayTest    = "may be tested"
	notToday   = "not today"
	againFirst = "measure again first"
)

func screenSkill() Skill {
	mix := []share{{mayTest, 2}, {notToday, 2}, {againFirst, 1}}
	return Skill{
		Name: Screen, Asks: "Decide by answers and resting values who may be tested today.", N: 2,
		Levels: [Levels]string{"plain answers and values", "less plain ones, and values to be taken again", "any answers and values", "what hardly shows, and what only sounds bad"},
		kinds:  [Levels][]share{{{mayTest, 1}, {notToday, 1}}, mix, mix, mix},
		draw:   (*Maker).screen,
	}
}

// screenHard are the lowest and highest difficulty of a case that must not be tested, by level. Source: [CHOICE-SKILL-LEVELS].
var screenHard = [Levels][2]int{{1, 2}, {1, 3}, {1, 5}, {3, 5}}

// screen draws somebody whose answers have been heard and whose resting values are on the sheet.
func (m *Maker) screen(it *Item) error {
	r := it.stream("draw")
	if it.Kind == againFirst && !m.book.Screening.RepeatWhenHigh { // in this house the first value is the last word
		it.Kind = notToday
	}
	fits := func(c scenarios.Case) bool {
		of := screenHard[it.Level-1]
		switch {
		case c.Room != nil: // a gauge off zero is another lesson
			return false
		case it.Kind == notToday:
			return c.Stratum() == scenarios.NotTested && c.Difficulty >= of[0] && c.Difficulty <= of[1]
		case it.Kind == againFirst:
			return m.mayBeHigh(c)
		case it.Level == 1:
			return c.Stratum() == scenarios.Uneventful
		case it.Level == Levels:
			return c.Stratum() != scenarios.NotTested && c.Difficulty > 1
		}
		return c.Stratum() != scenarios.NotTested
	}
	for range mostPeople {
		c, err := m.load(m.ids[r.IntN(len(m.ids))])
		if err != nil {
			return err
		}
		seed := scenarios.Seed(r.Uint64N(uint64(scenarios.MaxSeed) + 1))
		for tries := 0; !fits(c) && tries < mostPeople; tries++ {
			if c, err = m.load(m.ids[r.IntN(len(m.ids))]); err != nil {
				return err
			}
		}
		a, err := m.receive(c.Draw(seed), it.Kind == againFirst)
		if err != nil {
			return err
		}
		if it.Kind == againFirst && !a.again {
			continue
		}
		right := m.screenRight(a)
		if len(right) > 0 && kindOfScreening(right) == it.Kind && fits(c) {
			m.screenItem(it, a, right)
			return nil
		}
	}
	return fmt.Errorf("nobody of %d people is %s", mostPeople, it.Kind)
}

// mayBeHigh says whether the people of a case may have a resting value that is taken again.
func (m *Maker) mayBeHigh(c scenarios.Case) bool {
	if slices.ContainsFunc(c.Ills, func(i body.Ill) bool { return i.Nervous != nil }) {
		return true
	}
	high := func(x *scenarios.Range, limit float64) bool { return x != nil && x.High >= limit-6 }
	s := m.book.Screening
	reached := func(hr, sbp, dbp *scenarios.Range) bool {
		return high(hr, float64(s.PostponeHR)) || high(sbp, float64(s.PostponeSBP)) || high(dbp, float64(s.PostponeDBP))
	}
	return reached(c.Who.RestHR, c.Who.RestSBP, c.Who.RestDBP) || slices.ContainsFunc(c.Reasons, func(x scenarios.Reason) bool {
		return reached(x.RestHR, x.RestSBP, x.RestDBP)
	})
}

// An arrival is somebody who has been received, asked and measured; the decision is open.
type arrival struct {
	subject scenarios.Scenario
	header  exercises.Header
	lines   []exercises.Line
	again   bool // the reference proctor would measure again before it decides
}

// receive lets the reference proctor do everything up to its decision, or, when once is asked for, up to where it would measure again. Whoever it
// would send away after the questions alone is measured all the same, so that what is missing tells nothing.
func (m *Maker) receive(sc scenarios.Scenario, once bool) (arrival, error) {
	h := exercises.NewHeader(sc, m.book.JSON(), m.book.Hash(), "drill", false)
	session := exercises.Begin(h, sc)
	a := arrival{subject: sc, header: h}
	do := func(c exercises.Command) error {
		l, err := session.Do(c)
		if err == nil {
			a.lines = append(a.lines, l)
		}
		return err
	}
	p := grader.NewProctor(m.book)
	for range 200 {
		s := session.State()
		measured := slices.ContainsFunc(s.Events, func(e exercises.Event) bool { _, ok := e.Fact.(exercises.CuffFell); return ok })
		c, _, _ := p.Next(s)
		switch {
		case c.Act == exercises.Decide && measured:
			return a, nil
		case c.Act == exercises.Decide:
			if err := m.measureAtRest(session, do); err != nil {
				return a, err
			}
			return a, nil
		case c.Act == exercises.Rest && measured && once:
			a.again = true
			return a, nil
		}
		if err := do(c); err != nil {
			return a, fmt.Errorf("the proctor asked for what cannot be done: %w", err)
		}
	}
	return a, fmt.Errorf("case %s, seed %d: no decision", sc.Case.ID, sc.Seed)
}

// measureAtRest takes the resting values of somebody who has answered the questions.
func (m *Maker) measureAtRest(session *exercises.Session, do func(exercises.Command) error) error {
	if err := do(exercises.Command{Act: exercises.Measure, What: "arm"}); err != nil {
		return err
	}
	girth := unit.Girth(0)
	for _, e := range session.State().Events {
		if f, ok := e.Fact.(exercises.Measured); ok && f.What == "arm_cm" {
			girth = unit.Girth(f.Value)
		}
	}
	for _, c := range []exercises.Command{
		{Act: exercises.Cuff, What: string(instrument.FittingCuff(girth))},
		{Act: exercises.Seat, What: "chair"},
		{Act: exercises.Rest, Seconds: max(1, m.book.Screening.RestS)},
		{Act: exercises.Count, Seconds: 30},
		{Act: exercises.Pressure, PumpMmHg: 200, ValveMmHgS: m.book.Pressure.ValveHigh},
	} {
		if err := do(c); err != nil {
			return err
		}
	}
	for tries := 0; tries < 2; tries++ {
		events := session.State().Events
		if f, ok := events[len(events)-1].Fact.(exercises.CuffFell); ok {
			if _, ok := grader.HeardPressure(f); !ok {
				if err := do(exercises.Command{Act: exercises.Pressure, PumpMmHg: 260, ValveMmHgS: m.book.Pressure.ValveLow}); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// inOrder names readings in the order in which they were taken.
func inOrder(what string, all []string) string {
	if len(all) == 0 {
		return what + ": none could be read."
	}
	return what + ": " + strings.Join(all, ", then after more rest ") + "."
}

// decisions are the answers to the screening.
func decisions() []Choice {
	return []Choice{
		{"test", "begin the test"},
		{"rest", "rest, and measure again before deciding"},
		{"postpone", "another day, not today"},
		{"refer", "not before a physician has agreed"},
		{"refuse", "no test here"},
	}
}

// tried plays one decision to its end and lets the rules of the grading look at it.
func (m *Maker) tried(a arrival, decision string) ([]grader.Opportunity, error) {
	session := exercises.Begin(a.header, a.subject)
	for _, l := range a.lines {
		if _, err := session.Do(l.Command); err != nil {
			return nil, err
		}
	}
	acts := []exercises.Command{{Act: exercises.Decide, What: decision}}
	if decision == "test" {
		acts = append(acts, exercises.Command{Act: exercises.Seat, What: "cycle"}, exercises.Command{Act: exercises.Pedal}, exercises.Command{Act: exercises.Stop})
	}
	acts = append(acts, exercises.Command{Act: exercises.Release}, exercises.Command{Act: exercises.HandIn})
	for _, c := range acts {
		if _, err := session.Do(c); err != nil {
			return nil, fmt.Errorf("after the decision %s: %w", decision, err)
		}
	}
	return m.asked(session.State(), 0, "screen-decision", "needless-refusal", "rest-repeat"), nil
}

// A judged decision is one with what the rules say of it.
type judged struct {
	word string
	v    Verdict
}

// screenRight judges every decision; nil when the rules do not speak of one.
func (m *Maker) screenRight(a arrival) []judged {
	var all []judged
	rule := m.rules["screen-decision"]
	for _, c := range decisions() {
		if c.Word == "rest" {
			v := Verdict{Right: a.again, Why: m.rules["rest-repeat"].Why, Source: m.rules["rest-repeat"].Sources}
			if v.Right {
				v.Credit = 1
			} else {
				v.Why = "A second reading is for a first one that was high. Here it changes nothing: the decision stands on what is known already."
			}
			all = append(all, judged{c.Word, v})
			continue
		}
		found, err := m.tried(a, c.Word)
		if err != nil || len(found) == 0 {
			return nil
		}
		v := decided(found, Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
		if a.again && v.Right { // a first high value is never the last word
			return nil
		}
		all = append(all, judged{c.Word, v})
	}
	return all
}

// kindOfScreening is what the right decisions amount to; "" when they do not agree.
func kindOfScreening(all []judged) string {
	right := map[string]bool{}
	for _, j := range all {
		right[j.word] = j.v.Right
	}
	switch {
	case right["rest"] && !right["test"]:
		return againFirst
	case right["test"] && !right["postpone"] && !right["refer"] && !right["refuse"]:
		return mayTest
	case !right["test"] && (right["postpone"] || right["refer"] || right["refuse"]):
		return notToday
	}
	return ""
}

// screenItem makes the question.
func (m *Maker) screenItem(it *Item, a arrival, all []judged) {
	it.Facts = []Fact{text(who(a.header.Subject) + " " + capital(a.header.Subject.Work) + ".")}
	var flagged []string
	looks := map[string]bool{}
	var pulses, pressures []string
	for _, l := range a.lines {
		for _, e := range l.Events {
			switch f := e.Fact.(type) {
			case exercises.Noticed:
				if !looks[f.Words] {
					it.Facts = append(it.Facts, text(f.Words))
				}
				looks[f.Words] = true
			case exercises.Said:
				if f.To == "health" {
					for _, q := range a.subject.Health {
						if q.Key == f.About {
							it.Facts = append(it.Facts, Fact{Text: q.Question, Answer: f.Words})
							if q.Flag {
								flagged = append(flagged, "“"+f.Words+"”")
							}
						}
					}
				} else if f.Unasked {
					it.Facts = append(it.Facts, text("“"+f.Words+"”"))
				}
			case exercises.PulseFelt:
				pulses = append(pulses, plain(unit.Round(float64(len(f.Tenths))*60/float64(max(1, f.Seconds)), 0))+" bpm")
			case exercises.CuffFell:
				if heard, ok := grader.HeardPressure(f); ok {
					pressures = append(pressures, heard.String()+" mmHg")
				}
			}
		}
	}
	it.Facts = append(it.Facts, text(inOrder("Pulse at rest", pulses)), text(inOrder("Pressure at rest", pressures)))
	it.Ask = "What do you decide?"
	it.Choices = decisions()
	var accept []string
	for _, j := range all {
		if j.v.Right {
			accept = append(accept, says(it.Choices, j.word))
		}
	}
	should := "Acceptable: " + joinOr(accept) + "."
	known := "No answer gives a reason to wait, and no resting value stays at its limit or beyond."
	switch {
	case len(flagged) == 1:
		known = flagged[0] + " That answer is a reason not to test today."
	case len(flagged) > 1:
		known = strings.Join(flagged, " ") + " Those answers are reasons not to test today."
	case it.Kind == notToday:
		known = "A resting value stays at its limit or beyond. " + grader.RestLimits(m.book)
	case it.Kind == againFirst:
		known = "One resting value is at its limit or beyond, and it was taken once. " + grader.RestLimits(m.book)
	}
	// What the case teaches is why, where it is about this decision and the person's words led to it.
	one := a.subject.Case
	taught := it.Kind == notToday && len(flagged) > 0 || it.Kind == mayTest && one.Stratum() == scenarios.LookAlike && slices.Contains(one.Practises(), "screen")
	it.judge = func(x Answer) Verdict {
		for _, j := range all {
			if j.word == x.Choice {
				v := j.v
				v.Known, v.Should = known, should
				v.Did = chose(it.Choices, x.Choice)
				if taught {
					v.Why, v.Source = one.Teaches, one.Sources
				}
				return v
			}
		}
		panic("skill: no decision " + x.Choice)
	}
}
