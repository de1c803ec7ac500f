package grader

import (
	"kilopond/exercises"
)

// A Proctor is the reference proctor: a policy over what is on the sheet and what could be seen, heard or measured, never over the truth.
//
// It works alone, so its duties compete for its two hands. Their order: the person, a verification, heart rate, pressure, exertion, writing.
type Proctor struct {
	book   Rulebook
	caseID string // of which words were learnt
	words  lexicon
}

// NewProctor returns a proctor that works by the book.
func NewProctor(b Rulebook) *Proctor { return &Proctor{book: b} }

// see sorts what is before the proctor, who first learns how people of the case speak.
func (p *Proctor) see(s *exercises.State) *sight {
	if p.words == nil || p.caseID != s.Header.Case {
		p.caseID, p.words = s.Header.Case, readLexicon(s.Header.Case)
	}
	return see(p.book, s, p.words)
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
	return v.decided == "postpone" || v.decided == "refer" || v.decided == "refuse"
}
