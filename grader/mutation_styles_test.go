package grader

import (
	"sort"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A style is one honest way of proctoring: as right as the reference proctor's own, and not the same.
type style struct {
	name  string
	set   string // a setting of the rulebook that it needs, or ""
	habit func() habit
}

// plainStyle is the reference proctor's own way: the cuff as soon as its window opens, the count up to the mark.
const plainStyle = "by the book, early cuff"

// styles are the honest ways: the plain one, those of otherWays, a cautious stopper, later counts, and work with a helper.
func styles() []style {
	list := []style{{plainStyle, "", func() habit { return nil }}}
	var names []string
	for name := range otherWays() {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		list = append(list, style{name, "", otherWays()[name]})
	}
	return append(list,
		style{"counts 10 s later", "", countsLater},
		style{"stops a beat below the ceiling", "", stopsBelowCeiling},
		style{"a helper counts", "crew=pulse_helper", func() habit { return asksAboutJumps(helperCounts()) }},
		style{"a helper at the cuff", "crew=pressure_helper", helperCuffs},
	)
}

// mutationStyles are the styles in which mistakes are planted: those that differ in what is done when and by whom.
func mutationStyles() []style {
	var list []style
	for _, w := range styles() {
		switch w.name {
		case "a second resting pressure", "checks the dial", "counts a little after the window opens", "warms up longer", "watches longer", "writes slowly":
		default:
			list = append(list, w)
		}
	}
	return list
}

func countsLater() habit {
	return change(func(s *exercises.State, c exercises.Command) bool {
		toMark := 60 - (s.ClockS-s.StageFromS)%60
		return inStage(exercises.Count, 0)(s, c) && c.Seconds < verifyingCountS && toMark >= 15 && toMark <= 20
	}, instead(waiting(10)))
}

// stopsBelowCeiling ends the test when one beat more in the count would have been the ceiling: the finger may have missed it.
func stopsBelowCeiling() habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if c.Act != exercises.Stage && c.Act != exercises.Extend || s.Stage == 0 {
			return nil, false, false
		}
		v := st.proctor.see(s)
		list := v.minutesOf(s.Stage)
		if n := len(list); n == 0 || list[n-1].hr+unit.HR(60/st.book.Count.Seconds) < v.ceiling() {
			return nil, false, false
		}
		return []exercises.Command{loaded(exercises.CoolDown, 0.5)}, false, true
	}
}

// asksHelper sends a helper instead of an own reading in a stage and waits for the report.
func asksHelper(st *student, s *exercises.State, task exercises.Task, c exercises.Command) ([]exercises.Command, bool, bool) {
	st.helped = true
	if s.Helping[task] {
		switch v := st.proctor.see(s); { // the eyes are free
		case !v.lookedSince(v.now - 40):
			return []exercises.Command{cmd(exercises.Look), waiting(1)}, false, true
		case !v.asked(v.now - 40):
			return []exercises.Command{{Act: exercises.Ask, What: "symptoms"}, waiting(1)}, false, true
		}
		return []exercises.Command{waiting(2)}, false, true
	}
	c.Act, c.What = exercises.Helper, string(task)
	return []exercises.Command{c, waiting(max(4, c.Seconds))}, false, true
}

func helperCounts() habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		// What must be settled about rhythm or rate is felt with the own finger: a helper tells only a number.
		if !inStage(exercises.Count, 0)(s, c) || c.Seconds >= verifyingCountS {
			return nil, false, false
		}
		return asksHelper(st, s, exercises.HelperPulse, c)
	}
}

// asksAboutJumps makes the student ask a helper once more for a number that no pulse makes.
func asksAboutJumps(h habit) habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		st.wary = true
		return h(st, s, c)
	}
}

func helperCuffs() habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if !inStage(exercises.Pressure, 0)(s, c) {
			return nil, false, false
		}
		return asksHelper(st, s, exercises.HelperPressure, c)
	}
}

// ownReading is what a helper reported, as the student's own finger or ear would have had it.
func ownReading(r exercises.HelperReported) exercises.Fact {
	if r.Task == exercises.HelperPulse {
		tenths := make([]int, r.Beats)
		for i := range tenths {
			tenths[i] = i * 10 * r.Seconds / max(1, r.Beats)
		}
		return exercises.PulseFelt{FromS: r.FromS, Seconds: r.Seconds, Tenths: tenths}
	}
	if r.Systolic == 0 { // it could not be read
		return exercises.CuffFell{FromS: r.FromS, TopMmHg: r.TopMmHg, ValveMmHgS: helperValve, Heard: strings.Repeat("t", r.TopMmHg/instrument.GaugeStep)}
	}
	heard := []byte(strings.Repeat(string(instrument.Silence), r.TopMmHg/instrument.GaugeStep))
	for i := range heard {
		if mark := r.TopMmHg - instrument.GaugeStep*(i+1); mark <= r.Systolic && mark >= r.Diastolic {
			heard[i] = 't'
		}
	}
	return exercises.CuffFell{FromS: r.FromS, TopMmHg: r.TopMmHg, ValveMmHgS: helperValve, Heard: string(heard)}
}

// A planting is a mistake made within a style. The mistake is offered each command before the style is, and then each that the style puts in
// its place, at the second when it would be given.
type planting struct {
	style, mistake habit
	queue          []exercises.Command // of the style, not given yet
	seen           int                 // how many events there were when the last command of the style was given
	untilS         int                 // when the wait that was given last should be over; −1 for no wait
	bypass         bool                // a command of the style was skipped: the proctor goes on without the style once
	made           int                 // how often the mistake was made
}

func (p *planting) do(st *student, s *exercises.State, right exercises.Command) ([]exercises.Command, bool, bool) {
	if s.ClockS < p.untilS || newSince(s, p.seen) {
		p.queue = nil // something new was seen: nobody goes on as planned
	}
	p.untilS, p.seen = -1, len(s.Events)
	if len(p.queue) == 0 {
		if given, acted := p.err(st, s, right); acted {
			return given, false, true
		}
		if p.bypass || p.style == nil {
			p.bypass = false
			return nil, false, false
		}
		given, _, acted := p.style(st, s, right)
		if !acted {
			return nil, false, false
		}
		p.queue = given
	}
	next := p.queue[0]
	p.queue = p.queue[1:]
	if given, acted := p.err(st, s, next); acted {
		if len(given) > 0 {
			p.queue = nil
		}
		p.bypass = len(given) == 0 && len(p.queue) == 0
		return given, false, true
	}
	if next.Act == exercises.Wait {
		p.untilS = s.ClockS + next.Seconds
	}
	return []exercises.Command{next}, false, true
}

// newSince says whether the person said or showed something since so many events.
func newSince(s *exercises.State, n int) bool {
	for _, e := range s.Events[min(n, len(s.Events)):] {
		switch e.Fact.(type) {
		case exercises.Said, exercises.Noticed:
			return true
		}
	}
	return false
}

// err offers the mistake a command.
func (p *planting) err(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool) {
	if p.mistake == nil {
		return nil, false
	}
	given, believe, acted := p.mistake(st, s, c)
	if !acted {
		return nil, false
	}
	p.made++
	if believe {
		st.believe(c)
	}
	return given, true
}
