package main

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
)

// A ballot is a decision that is put to a class before the reference proctor takes it.
type ballot struct {
	name     string // for the table of votes
	question string
	choices  []choice
	proctor  int  // which of them the proctor takes
	ends     bool // the proctor ends the test
	why      string
}

// A choice is one answer, and whether it is acceptable at that second.
type choice struct {
	says string
	fits bool
}

// A poll knows which decisions of a played test are worth a vote. The same question is put whether or not anything is wrong.
type poll struct {
	book    grader.Rulebook
	proctor *grader.Proctor
	order   *rand.Rand
}

// ballots are the decisions at a state, before the command that the proctor gives next. done are the lines so far.
func (p *poll) ballots(s *exercises.State, done []exercises.Line, next exercises.Command) (all []ballot) {
	for _, ask := range []func(*exercises.State, []exercises.Line, exercises.Command) (ballot, bool){p.health, p.screening, p.pressure, p.sign, p.stageEnd, p.branch} {
		b, ok := ask(s, done, next)
		if !ok {
			continue
		}
		if b.why == "" {
			b.why = because(p.proctor.Acceptable(s)[0])
		}
		was := b.choices[b.proctor].says
		p.order.Shuffle(len(b.choices), func(i, j int) { b.choices[i], b.choices[j] = b.choices[j], b.choices[i] })
		for i, c := range b.choices {
			if c.says == was {
				b.proctor = i
			}
		}
		if all = append(all, b); b.ends {
			break
		}
	}
	return all
}

// acceptable says whether a command would do at a state.
func (p *poll) acceptable(s *exercises.State, c exercises.Command) bool {
	return len(p.proctor.Instead(s, c)()) == 0
}

// pick makes a ballot of choices of which only the proctor's is right.
func pick(name, question string, proctor int, says ...string) (ballot, bool) {
	b := ballot{name: name, question: question, proctor: proctor}
	for i, s := range says {
		b.choices = append(b.choices, choice{s, i == proctor})
	}
	return b, true
}

// decisions are the answers to a screening, as they are said and as they are typed.
var decisions = []struct{ what, says string }{
	{"test", "test today"}, {"rest", "rest, then take the readings again"}, {"postpone", "another day"},
	{"refer", "to a doctor first"}, {"refuse", "no test"},
}

// health is put once the health questions are answered.
func (p *poll) health(s *exercises.State, done []exercises.Line, next exercises.Command) (ballot, bool) {
	if n := len(done); n == 0 || done[n-1].Command.Act != exercises.Ask || done[n-1].Command.What != "health" || s.Phase() != exercises.Before {
		return ballot{}, false
	}
	says, at := []string{"go on to consent, sizes and resting values"}, 0
	for _, d := range decisions[2:] {
		if says = append(says, d.says); next.Act == exercises.Decide && next.What == d.what {
			at = len(says) - 1
		}
	}
	b, ok := pick("the health questions", "The health questions are answered. What now?", at, says...)
	if at == 0 {
		b.why = "No answer keeps the person from a test. [PARQ2011]"
	}
	return b, ok
}

// screening is put once a resting pulse and a resting pressure can be read, and at each later decision of the screening.
func (p *poll) screening(s *exercises.State, done []exercises.Line, next exercises.Command) (ballot, bool) {
	if s.Phase() != exercises.Before || len(done) > 0 && done[len(done)-1].Command.What == "health" {
		return ballot{}, false
	}
	counted, read, decided := false, false, false
	last := exercises.Act("") // but writing
	for _, l := range done {
		if l.Command.Act != exercises.Write {
			last = l.Command.Act
		}
		for _, e := range l.Events {
			switch f := e.Fact.(type) {
			case exercises.PulseFelt:
				counted = true
			case exercises.CuffFell:
				sounds := instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
				read = sounds.Any && !sounds.HeardAtOnce
			case exercises.Decided:
				decided = true
			}
		}
	}
	// A high value is measured again: after more rest, or at once when there was enough.
	again := !decided && counted && read && (next.Act == exercises.Rest && (last == exercises.Pressure || last == exercises.Count) ||
		(next.Act == exercises.Count || next.Act == exercises.Pressure) && last == exercises.Pressure)
	at := -1
	for i, d := range decisions {
		if next.Act == exercises.Decide && next.What == d.what || d.what == "rest" && again {
			at = i
		}
	}
	if at < 0 {
		return ballot{}, false
	}
	var says []string
	for _, d := range decisions {
		says = append(says, d.says)
	}
	return pick("the screening", "The answers and the resting values are known. What do you decide?", at, says...)
}

// pressure is put after each finished pressure of a stage, when its numbers are on the sheet.
func (p *poll) pressure(s *exercises.State, done []exercises.Line, next exercises.Command) (ballot, bool) {
	if s.Phase() != exercises.Working || next.Act == exercises.Write {
		return ballot{}, false
	}
	n := len(done) - 1
	for n >= 0 && done[n].Command.Act == exercises.Write {
		n--
	}
	if n < 0 || done[n].Command.Act != exercises.Pressure {
		return ballot{}, false
	}
	at := 0
	switch next.Act {
	case exercises.Pressure:
		at = 1
	case exercises.CoolDown, exercises.Stop:
		at = 2
	}
	b, ok := pick(fmt.Sprintf("the pressure of stage %d", s.Stage), "What does this pressure ask for?", at,
		"nothing: go on as planned", "taking it again at once", "ending the test")
	b.ends = at == 2
	if at == 0 {
		b.why = "It is neither above the limits of the house nor far below that of the stage before."
		if p.pressuresOf(s) > 1 {
			b.why = "The repeat does not confirm the fall."
		}
	}
	return b, ok
}

// pressuresOf is how many pressures have been taken in the stage that runs.
func (p *poll) pressuresOf(s *exercises.State) (n int) {
	for _, e := range s.Events {
		if f, ok := e.Fact.(exercises.CuffFell); ok && f.FromS >= s.StageFromS && !f.CutShort {
			n++
		}
	}
	return n
}

// sign is put when something was said or seen unasked while the pedals turn, and wherever the test ends within a stage.
func (p *poll) sign(s *exercises.State, done []exercises.Line, next exercises.Command) (ballot, bool) {
	if s.Phase() != exercises.Working && s.Phase() != exercises.WarmUp {
		return ballot{}, false
	}
	ending := next.Act == exercises.Stop || next.Act == exercises.CoolDown
	shown := false
	if n := len(done); n > 0 {
		for _, e := range done[n-1].Events {
			switch f := e.Fact.(type) {
			case exercises.Said:
				shown = shown || f.Unasked
			case exercises.Noticed:
				shown = shown || done[n-1].Command.Act != exercises.Look
			case exercises.PedallingStopped:
				shown = true
			}
		}
	}
	if !shown && (!ending || p.over(s)) {
		return ballot{}, false
	}
	b := ballot{name: "what was noticed", question: "Something was said or seen. What now?", ends: ending}
	if !shown {
		b.name, b.question = "going on or ending", "What now?"
	}
	look := exercises.Command{Act: exercises.Look}
	stopping := exercises.Command{Act: exercises.Stop}
	light := exercises.Command{Act: exercises.CoolDown, ResistanceKp: float64(p.book.CoolDown.MaxResistance)}
	b.choices = []choice{
		{"go on as planned", p.acceptable(s, look)},
		{"look and ask before anything else", p.acceptable(s, look)},
		{"ask for the rhythm", next.Act == exercises.Coach},
		{"end the test; light pedalling goes on", p.acceptable(s, light)},
		{"stop at once, the load off", p.acceptable(s, stopping)},
	}
	switch next.Act {
	case exercises.Look, exercises.Ask:
		b.proctor = 1
	case exercises.Coach:
		b.proctor, b.choices[0].fits = 2, false
	case exercises.CoolDown:
		b.proctor = 3
	case exercises.Stop:
		b.proctor = 4
	}
	if b.proctor < 2 {
		b.why = "No sign that ends the test: watch on."
	}
	b.choices[b.proctor].fits = true
	return b, true
}

// over says whether the stage has had its minutes.
func (p *poll) over(s *exercises.State) bool {
	return s.Phase() == exercises.Working && s.ClockS-s.StageFromS >= p.book.StageS+60*s.Extensions-p.book.Count.BeforeS
}

// stageEnd is put at the end of each stage: a minute more, the next stage, or the end.
func (p *poll) stageEnd(s *exercises.State, _ []exercises.Line, next exercises.Command) (ballot, bool) {
	acts := []exercises.Act{exercises.Extend, exercises.Stage, exercises.CoolDown, exercises.Stop}
	at := -1
	for i, a := range acts {
		if next.Act == a {
			at = i
		}
	}
	if at < 0 || s.Phase() != exercises.Working || !p.over(s) {
		return ballot{}, false
	}
	b, ok := pick(fmt.Sprintf("the end of stage %d", s.Stage), fmt.Sprintf("Stage %d has had its time. What now?", s.Stage), at,
		"one more minute at this load", "the next stage", "end the test; light pedalling goes on", "stop at once, the load off")
	light := exercises.Command{Act: exercises.CoolDown, ResistanceKp: float64(p.book.CoolDown.MaxResistance)}
	b.choices[2].fits = at == 2 || p.acceptable(s, light)
	b.choices[3].fits = at == 3 || p.acceptable(s, exercises.Command{Act: exercises.Stop})
	b.ends = at >= 2
	if at == 1 { // the load is a question of its own
		b.why = p.lastTwo(s) + "The line needs a further stage. [CSEP2009]"
	}
	return b, ok
}

// lastTwo says in a sentence how the heart rates of the last two minutes of a stage compare, as they stand on the sheet.
func (p *poll) lastTwo(s *exercises.State) string {
	var hrs []string
	for minute := 1; minute <= (p.book.StageS/60 + s.Extensions); minute++ {
		if it, ok := s.Item(exercises.KeyHR, s.Stage, minute); ok {
			hrs = append(hrs, it.Text)
		}
	}
	if len(hrs) < 2 {
		return ""
	}
	said := fmt.Sprintf("%s, then %s bpm: ", hrs[len(hrs)-2], hrs[len(hrs)-1])
	if s.Extensions >= p.book.MaxExtensions && s.Extensions > 0 {
		return said + "no more minutes are allowed. "
	}
	return said + "steady. "
}

// branch is put when the first stage is over: the column of the table.
func (p *poll) branch(s *exercises.State, _ []exercises.Line, next exercises.Command) (ballot, bool) {
	if s.Phase() != exercises.Working || s.Stage != 1 || next.Act != exercises.Stage {
		return ballot{}, false
	}
	b := ballot{name: "the load of stage 2", question: "Which load for stage 2?", proctor: -1}
	for band := range p.book.Bands {
		load := protocol.WorkRateOfStage(p.book.Rules, band, 2)
		kp := float64(load.Resistance(p.book.Cadence))
		says := fmt.Sprintf("%v kp (%.0f kg·m/min)", kp, load)
		if slices.ContainsFunc(b.choices, func(c choice) bool { return c.says == says }) {
			continue // two columns may begin alike
		}
		if kp == next.ResistanceKp {
			b.proctor = len(b.choices)
		}
		b.choices = append(b.choices, choice{says, kp == next.ResistanceKp})
	}
	return b, b.proctor >= 0
}
