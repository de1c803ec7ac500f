package skill

import (
	"fmt"
	"slices"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// What may be begun in a minute; also the kinds of moments, by what the reference proctor begins.
const (
	beginPulse    = "pulse"
	beginPressure = "pressure"
	beginExertion = "exertion"
	beginWait     = "wait"
	beginChange   = "change"
)

func planSkill() Skill {
	return Skill{
		Name: Plan, Asks: "Plan the minute: what to begin now, so that everything due fits into the stage.", N: 4,
		Levels: [Levels]string{"counts, waits and the change of load", "counts, waits, and where the pressure fits", "the rating as well", "long pressures"},
		kinds: [Levels][]share{
			{{beginPulse, 1}, {beginWait, 1}, {beginChange, 1}},
			{{beginPulse, 1}, {beginPressure, 2}, {beginWait, 2}, {beginChange, 1}},
			{{beginPulse, 1}, {beginPressure, 2}, {beginExertion, 2}, {beginWait, 2}, {beginChange, 1}},
			{{beginPulse, 1}, {beginPressure, 2}, {beginExertion, 1}, {beginWait, 2}, {beginChange, 1}},
		},
		draw: (*Maker).plan,
	}
}

func plans() []Choice {
	return []Choice{
		{beginPulse, "the count of the pulse"},
		{beginPressure, "the pressure"},
		{beginExertion, "the rating of exertion"},
		{beginWait, "no measurement yet: wait for the next count"},
		{beginChange, "the next stage, a minute more or the end, as the readings say"},
	}
}

// planOf is which plan a command is; "" when none.
func planOf(c exercises.Command) string {
	switch {
	case c.Act == exercises.Count:
		return beginPulse
	case c.Act == exercises.Pressure:
		return beginPressure
	case c.Act == exercises.Ask && c.What == "exertion":
		return beginExertion
	case c.Act == exercises.Wait:
		return beginWait
	case c.Act == exercises.Stage || c.Act == exercises.Extend || c.Act == exercises.CoolDown:
		return beginChange
	}
	return ""
}

// longPressure is a last systolic pressure from which a deflation fills the time between two counts, in mmHg. Source: [CHOICE-SKILL-LEVELS].
const longPressure = 160

// plan takes a moment of a stage in which nothing presses and the minute's look and question are done.
func (m *Maker) plan(it *Item) error {
	r := it.stream("draw")
	fits := func(c scenarios.Case) bool { return c.Room == nil && c.RightAct == scenarios.RunToEnd }
	return m.meet(r, fits, func(t test) bool {
		var at []int
		t.replay(func(s *exercises.State, before int) bool {
			if planOf(t.played.Lines[before].Command) == it.Kind && (it.Level < Levels || lastSystolic(s) >= longPressure) {
				at = append(at, before)
			}
			return false
		})
		p := grader.NewProctor(m.book)
		for _, i := range r.Perm(len(at)) {
			s := t.at(at[i])
			now, ok := p.Need(s)
			if !ok || now.Odd || now.Ceiling || !now.Accepts(grader.GoOn) && !now.Planned || it.Kind == beginChange && now.Accepts(grader.GoOn) && now.Accepts(grader.End) {
				continue
			}
			if m.planItem(it, t, at[i], s) {
				return true
			}
		}
		return false
	})
}

// lastSystolic is the last pressure before now, 0 when there is none.
func lastSystolic(s *exercises.State) float64 {
	for _, e := range slices.Backward(s.Events) {
		if f, ok := e.Fact.(exercises.CuffFell); ok {
			if heard, ok := grader.HeardPressure(f); ok {
				return float64(heard.Systolic)
			}
		}
	}
	return 0
}

// A course of a stage is how it went on after one act.
type stageCourse struct {
	actS int             // when the act was done
	endS int             // when the load was changed, a minute was added, or the test ended
	bad  *grader.Finding // the first fault within the stage; nil when there is none
}

// planItem makes the question; false when every plan is as good as another.
func (m *Maker) planItem(it *Item, t test, lines int, s *exercises.State) bool {
	own := t.played.Lines[lines].Command
	acts := map[string]exercises.Command{beginPulse: {Act: exercises.Count, Seconds: m.book.Count.Seconds}, beginExertion: {Act: exercises.Ask, What: "exertion"}}
	for _, l := range t.played.Lines[lines:] { // as the reference proctor would do each, when its time comes
		if plan := planOf(l.Command); plan != "" {
			if _, have := acts[plan]; !have {
				acts[plan] = l.Command
			}
		}
		if plan := planOf(l.Command); plan == beginChange {
			break
		}
	}
	for _, l := range slices.Backward(t.played.Lines[:lines]) { // a pressure that has been taken is taken again as before
		if _, have := acts[beginPressure]; !have && l.Command.Act == exercises.Pressure {
			acts[beginPressure] = l.Command
		}
	}
	toCount := 60 - (s.ClockS-s.StageFromS)%60 - m.book.Count.Seconds - 2
	acts[beginWait] = exercises.Command{Act: exercises.Wait, Seconds: max(15, toCount)}
	acts[planOf(own)] = own
	reference := m.goOn(t, lines, own)
	if reference.bad != nil {
		return false
	}
	offered := map[string]bool{}
	for _, a := range grader.Acceptable(m.book, s) {
		offered[planOf(exercises.Command{Act: a.Act, What: a.What})] = true
	}
	var accept []string
	for _, c := range plans() {
		act, ok := acts[c.Word]
		if !ok {
			return false
		}
		if !offered[c.Word] {
			continue
		}
		x := reference
		if c.Word != it.Kind {
			x = m.goOn(t, lines, act)
		}
		if x.bad == nil && x.endS <= reference.endS+overrunS {
			accept = append(accept, c.Word)
		}
	}
	if !slices.Contains(accept, it.Kind) || len(accept) > 3 {
		return false
	}
	clock := s.ClockS - s.StageFromS
	it.Facts = []Fact{text(who(s.Header.Subject)), {Table: sheetSoFar(m.book, s)}, text("Done in this stage, each when it was finished:")}
	if len(it.Facts[1].Table.Rows) == 0 {
		it.Facts = slices.Delete(it.Facts, 1, 2)
	}
	it.Facts = append(it.Facts, doneInStage(s)...)
	it.Facts = append(it.Facts, text(fmt.Sprintf("Now: stage %d, %d:%02d. The person is well. You work alone.", s.Stage, clock/60, clock%60)))
	it.Ask = "What do you begin now?"
	it.Choices = plans()
	var words []string
	for _, a := range accept {
		words = append(words, says(it.Choices, a))
	}
	it.judge = func(a Answer) Verdict {
		why := "The reference proctor: " + t.played.Why[lines]
		if it.Kind == beginPressure || it.Kind == beginWait {
			over := m.goOn(t, lines, acts[beginPressure]).actS - s.StageFromS
			why += fmt.Sprintf(" A pressure begun now is over at %d:%02d.", over/60, over%60)
		}
		rule := m.rules[ruleOfPlan[it.Kind]]
		v := Verdict{Right: slices.Contains(accept, a.Choice), Known: why, Should: "Acceptable: " + joinOr(words) + ".", Why: rule.WhyIn(m.book), Source: rule.Sources}
		if v.Right {
			v.Credit = 1
			return v
		}
		v.Did = chose(it.Choices, a.Choice)
		if x := m.goOn(t, lines, acts[a.Choice]); x.bad != nil {
			v.Did += " Whatever is done then: " + x.bad.Known + " " + x.bad.Should
			v.Why, v.Source = x.bad.Why, x.bad.Sources
		} else if x.endS <= reference.endS+overrunS {
			v.Did += " It is not what is due now."
		} else {
			v.Did += fmt.Sprintf(" The stage then lasts %d s longer than it need.", x.endS-reference.endS)
		}
		return v
	}
	return true
}

// ruleOfPlan is the rule that gives the reason for beginning each.
var ruleOfPlan = map[string]string{
	beginPulse: "pulse-each-minute", beginPressure: "pressure-each-stage", beginExertion: "exertion", beginWait: "pulse-timing", beginChange: "extension-needless",
}

// overrunS is how much longer than with the reference proctor a stage may last, in seconds, and count as well planned. Source: [CHOICE-PLAN].
const overrunS = 15

// planRules are the rules that a badly planned minute breaks.
var planRules = []string{"pulse-each-minute", "pulse-timing", "pressure-each-stage", "pressure-timing", "exertion", "steady-accepted", "extension-needless", "stage-count"}

// goOn plays the test up to a moment, does one act there, and lets the reference proctor go on until the stage has been decided on.
func (m *Maker) goOn(t test, lines int, act exercises.Command) stageCourse {
	session := t.again(lines)
	s := session.State()
	stage, from, extensions := s.Stage, s.StageFromS, s.Extensions
	p := grader.NewProctor(m.book)
	acted := 0
	for range 60 {
		if _, err := session.Do(act); err != nil {
			panic("skill: the proctor asked for what cannot be done: " + err.Error())
		}
		if acted == 0 {
			acted = s.ClockS
		}
		if s.Stage != stage || s.Extensions != extensions || s.EndedAtS >= 0 {
			break
		}
		act, _, _ = p.Next(s)
	}
	c := stageCourse{actS: acted, endS: s.ClockS}
	for _, o := range m.asked(s, from, planRules...) {
		if c.bad == nil && o.Credit < 1 && o.Finding != nil {
			c.bad = o.Finding
		}
	}
	return c
}

// doneInStage is what was done in the running stage, without what came of it.
func doneInStage(s *exercises.State) []Fact {
	var all []Fact
	for _, e := range s.Events {
		if e.AtS < s.StageFromS {
			continue
		}
		did := ""
		switch f := e.Fact.(type) {
		case exercises.PulseFelt:
			did = "the pulse"
		case exercises.CuffFell:
			did = fmt.Sprintf("the pressure, begun at %d:%02d", (f.FromS-s.StageFromS)/60, (f.FromS-s.StageFromS)%60)
		case exercises.ExertionGiven:
			did = "the rating of exertion"
		case exercises.Noticed:
			did = "a look"
		case exercises.Said:
			if f.To == "symptoms" {
				did = "how does it feel"
			}
		case exercises.Extended:
			did = "a minute was added"
		}
		if did != "" {
			at := e.AtS - s.StageFromS
			all = append(all, Fact{When: fmt.Sprintf("%d:%02d", at/60, at%60), Text: did})
		}
	}
	return all
}
