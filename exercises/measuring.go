package exercises

import (
	"fmt"
	"math"
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

func roundTo(x, per float64) float64 { return math.Round(x*per) / per }
func tenth(x float64) float64        { return roundTo(x, 10) }
func whole(x float64) float64        { return roundTo(x, 1) }

// measure counts a pulse or takes a pressure. The eyes are on the watch or the gauge.
//
// Each measurement has a generator of its own, named after the second at which it begins, so that measuring twice never changes the person.
func (s *Session) measure(c Command) {
	s.atNeck = c.Act != Pressure && site(c) == instrument.Carotid
	defer func() { s.atNeck = false }()
	switch c.Act {
	case Count:
		s.count(c)
	case Time:
		s.timeBeats(c)
	case Pressure:
		s.pressure(c)
	}
}

func site(c Command) instrument.Site {
	if c.What == "" {
		return instrument.Radial
	}
	return instrument.Site(c.What)
}

func (s *Session) fingers(c Command) *instrument.Fingers {
	at := time.Duration(s.state.ClockS) * time.Second
	return instrument.NewFingers(s.subject.Stream(fmt.Sprintf("fingers/%d", s.state.ClockS)), site(c), at, s.state.Pedalling)
}

func (s *Session) count(c Command) {
	s.pass(findPulseS, false, nil)
	from := s.state.ClockS
	f := s.fingers(c)
	gone := 0
	if !s.cut {
		gone = s.pass(c.Seconds, false, func(b []instrument.Beat) bool { f.Feel(b); return false })
	}
	s.truth.counted(from, s.state.ClockS)
	s.happened(PulseFelt{Site: string(site(c)), FromS: from, Seconds: gone, Tenths: append([]int{}, f.Tenths()...), CutShort: gone < c.Seconds})
}

// timeBeats starts the watch on a beat called zero and stops it on the last.
func (s *Session) timeBeats(c Command) {
	s.pass(findPulseS, false, nil)
	from := s.state.ClockS
	f := s.fingers(c)
	enough := func(b []instrument.Beat) bool { f.Feel(b); return len(f.Tenths()) > c.Beats }
	if !s.cut {
		s.pass(4*c.Beats, false, enough) // nobody's heart is slower than 15 a minute
	}
	s.truth.counted(from, s.state.ClockS)
	felt := f.Tenths()
	done := BeatsTimed{Site: string(site(c)), FromS: from, Beats: min(c.Beats, max(0, len(felt)-1)), CutShort: len(felt) <= c.Beats}
	if done.Beats > 0 {
		done.Tenths = felt[done.Beats] - felt[0]
	}
	s.happened(done)
}

// sinceCuff is how many seconds before a cuff the last one came down; −1 when there was none.
func (s *Session) sinceCuff(from int) int {
	if s.cuffDownS < 0 {
		return -1
	}
	return max(0, from-s.cuffDownS)
}

// longestCuffS bounds one deflation: 300 mmHg at 1 mmHg/s.
const longestCuffS = 330

func (s *Session) pressure(c Command) {
	from := s.state.ClockS
	r := s.subject.Stream(fmt.Sprintf("cuff/%d", from))
	cuff := instrument.NewCuff(r, unit.Pressure(c.PumpMmHg), c.ValveMmHgS+s.equipment.CuffLeak, time.Duration(from)*time.Second, s.state.Pedalling,
		instrument.CuffSize(s.state.CuffOn), s.subject.Traits.Arm)
	cuff.Misread(s.equipment.Misread())
	cuff.Over(s.subject.Artery, s.sinceCuff(from))
	down := false
	s.pass(longestCuffS, false, func(b []instrument.Beat) bool { down = cuff.Second(b); return down })
	s.truth.cuffed(from, s.state.ClockS)
	s.cuffDownS = s.state.ClockS
	s.happened(CuffFell{FromS: from, TopMmHg: cuff.Top(), ValveMmHgS: c.ValveMmHgS, Heard: cuff.Heard(), CutShort: !down})
}
