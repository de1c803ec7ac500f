package grader

import (
	"slices"

	"kilopond/physiology/unit"
)

// A pulseDoubt is a count that asks for a longer one, with what that showed.
type pulseDoubt struct {
	cause         string
	before        unit.HR // of the stage before; for a rate that does not rise
	first, second Count   // second is the zero value when none came
	begun         bool    // a count was begun after the first, were it cut short
	repeated      bool
	confirmed     bool
}

// pulseDoubts are the doubts of a test about the pulse: of each kind at most one a stage, in order, up to the first of the kind that was confirmed
// or never felt again. What a longer count settled is over, and a later stage may bring another.
func pulseDoubts(b Rulebook, c *Course) []pulseDoubt {
	return slices.Concat(doubtsOf(b, c, unevenPulse), doubtsOf(b, c, flatRate))
}

// doubtsOf are the doubts of one kind.
func doubtsOf(b Rulebook, c *Course, cause string) []pulseDoubt {
	if all, known := c.doubts[cause]; known {
		return all
	}
	return findDoubts(b, c, cause)
}

// findDoubts goes through the counts stage by stage.
func findDoubts(b Rulebook, c *Course, cause string) (all []pulseDoubt) {
	var before unit.HR
	for _, s := range c.Stages {
		var in []Count
		var felt []feltPulse
		for _, k := range c.Counts {
			if k.FromS >= s.FromS && k.ToS <= s.ToS && whole(k) {
				in = append(in, k)
				felt = append(felt, k.felt())
			}
		}
		asks := asksAgain(b, cause, before)
		doubt, settles := firstDoubt(felt, asks)
		if doubt >= 0 {
			d := pulseDoubt{cause: cause, before: before, first: in[doubt], repeated: settles >= 0}
			for _, k := range c.Counts {
				d.begun = d.begun || k.FromS >= d.first.ToS && k.FromS <= s.ToS
			}
			if d.repeated {
				d.second = in[settles]
				d.confirmed = asks(d.second.felt())
			}
			all = append(all, d)
			if !d.repeated || d.confirmed {
				return all
			}
		}
		if list := readings(c, s, s.ToS); len(list) > 0 {
			before = list[len(list)-1].HR
		}
	}
	return all
}

// lastDoubt is the doubt of a kind that counts: the first that was confirmed or never felt again, else the last; ok is false when there was none.
func lastDoubt(b Rulebook, c *Course, cause string) (d pulseDoubt, ok bool) {
	if all := doubtsOf(b, c, cause); len(all) > 0 {
		return all[len(all)-1], true
	}
	return d, false
}

// confirmedDoubt is the first doubt about the pulse that a longer count confirmed.
func confirmedDoubt(b Rulebook, c *Course) (pulseDoubt, bool) {
	for _, d := range pulseDoubts(b, c) {
		if d.confirmed {
			return d, true
		}
	}
	return pulseDoubt{}, false
}

// verification is the doubt as a rule judges it.
func (d pulseDoubt) verification() verification {
	return verification{cause: d.cause, at: d.first.KnownS, begun: d.begun, repeated: d.repeated, from: d.second.FromS - findPulseS, to: d.second.KnownS, confirmed: d.confirmed}
}

func (c Count) felt() feltPulse {
	return feltPulse{minute: c.Minute, seconds: c.Seconds, odd: c.Odd, hr: c.Reading()}
}
