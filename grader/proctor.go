package grader

import (
	"kilopond/exercises"
	"kilopond/scenarios"
)

// A Proctor is the reference proctor: a policy over what is on the sheet and what could be seen, heard or measured, never over the truth.
//
// It works alone, so its duties compete for its two hands. Their order: the person, a verification, heart rate, pressure, exertion, writing.
type Proctor struct {
	book   Rulebook
	caseID string // of which words were learnt
	words  *lexicon
	last   *sight // of the state that was met last, with how many of its events it holds
	taken  int
}

// NewProctor returns a proctor that works by the book.
func NewProctor(b Rulebook) *Proctor { return &Proctor{book: b} }

// Knowing is the proctor when it understands how the people of a case speak, which it finds out by itself of cases that ship.
func (p *Proctor) Knowing(c scenarios.Case) *Proctor {
	p.learn(c)
	return p
}

// learn makes the proctor understand how the people of a case speak.
func (p *Proctor) learn(c scenarios.Case) { p.caseID, p.words = c.ID, newLexicon(c) }

// see sorts what is before the proctor, who first learns how people of the case speak.
func (p *Proctor) see(s *exercises.State) *sight {
	if p.words == nil || p.caseID != s.Header.Case {
		c, err := scenarios.Load(s.Header.Case)
		if err != nil {
			c = scenarios.Case{ID: s.Header.Case} // not of the library: the ways of speaking common to everybody
		}
		p.learn(c)
	}
	// A state only ever grows, so of the same one only what is new must be sorted.
	if p.last == nil || p.last.state != s || p.taken > len(s.Events) {
		p.last, p.taken = newSight(p.book, s), 0
	}
	for _, e := range s.Events[p.taken:] {
		p.last.take(e, p.words)
	}
	p.taken, p.last.now = len(s.Events), s.ClockS
	return p.last
}

// Next is what the proctor does now and why, in a short sentence; done when the attempt is closed.
func (p *Proctor) Next(s *exercises.State) (c exercises.Command, why string, done bool) {
	if s.Closed {
		return c, "", true
	}
	v := p.see(s)
	a := v.act()
	return a.command, a.why, false
}

// An action is a command with its reason.
type action struct {
	command exercises.Command
	why     string
}

func do(act exercises.Act, what, why string) action {
	return action{exercises.Command{Act: act, What: what}, why}
}

// act picks the most urgent duty.
func (v *sight) act() action {
	switch {
	case v.releasedAt >= 0 || v.endedAt < 0 && v.turnedAway():
		return v.finish()
	case v.endedAt >= 0:
		return v.recovery()
	case v.pedalAt < 0:
		return v.prepare()
	}
	if a, urgent := v.urgent(); urgent {
		return a
	}
	if _, ok := v.stage(); !ok {
		return v.warmUp()
	}
	return v.work()
}

// turnedAway says whether the person is not tested today.
func (v *sight) turnedAway() bool {
	return v.decided == "postpone" || v.decided == "refer" || v.decided == "refuse" || v.decided == "emergency"
}
