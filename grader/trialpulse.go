package grader

import (
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A stagePulse keeps the doubts about the pulse of one stage: each kind is settled once.
type stagePulse struct {
	trial   *Trial
	before  unit.HR // the last of the stage before; 0 when there is none
	settled [len(pulseDoubtKinds)]bool
}

// pulseDoubtKinds are the kinds in the order in which the proctor acts on them.
var pulseDoubtKinds = [...]string{unevenPulse, flatRate}

func newStagePulse(t *Trial) stagePulse {
	p := stagePulse{trial: t}
	if n := len(t.stages); n > 1 {
		if list := t.stages[n-2].Minutes; len(list) > 0 {
			p.before = list[len(list)-1]
		}
	}
	return p
}

// settle reads a doubtful pulse again at once and for longer, and says whether that ends the test. again is what was read; 0 when nothing was doubted.
func (p *stagePulse) settle(cuff *stageCuff, minute int, hr unit.HR) (again unit.HR, ended bool) {
	t := p.trial
	felt := feltPulse{minute: minute, seconds: t.book.Count.Seconds, hr: hr}
	if t.counts() {
		felt.odd = instrument.OddGaps(t.fingers.Tenths())
	}
	var doubted [len(pulseDoubtKinds)]bool
	for i, cause := range pulseDoubtKinds {
		doubted[i] = hr > 0 && !p.settled[i] && asksAgain(t.book, cause, p.before)(felt)
	}
	if !doubted[0] && !doubted[1] {
		return 0, false
	}
	longer, ended := t.longer(cuff, minute)
	if ended {
		return 0, true
	}
	for i, cause := range pulseDoubtKinds {
		if !doubted[i] {
			continue
		}
		p.settled[i] = true
		if asksAgain(t.book, cause, p.before)(longer) {
			t.result.StopReason = StopPulse
			return longer.hr, true
		}
	}
	return longer.hr, false
}

// longer reads the pulse for as long as it takes to settle a doubt, with a glance half-way and at the end; ended is true when that ends the test.
func (t *Trial) longer(cuff *stageCuff, minute int) (k feltPulse, ended bool) {
	from := t.second
	if t.pulse != Monitor {
		t.fingers.Place(t.felt, instrument.Radial, time.Duration(from)*time.Second, true)
		t.feeling = true
		defer func() { t.feeling = false }()
	}
	for at := from + verifyingCountS/2; at <= from+verifyingCountS; at += verifyingCountS / 2 {
		t.until(at)
		if t.glance(cuff) {
			return k, true
		}
	}
	k = feltPulse{minute: minute, seconds: verifyingCountS}
	if t.pulse == Monitor {
		k.hr = t.shown()
		return k, false
	}
	felt := t.fingers.Tenths()
	k.hr = unit.HR(len(felt) * 60 / verifyingCountS)
	if t.counts() {
		k.odd = instrument.OddGaps(felt)
	}
	return k, false
}

// counts says whether the pulse is read by counting beats: a monitor tells no gaps, and of timed beats only the first and the last are noted.
func (t *Trial) counts() bool { return t.pulse != Monitor && t.pulse != Beats30 }
