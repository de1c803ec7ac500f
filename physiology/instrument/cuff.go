package instrument

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"kilopond/physiology/unit"
)

// Marks of what is heard, one letter a gauge mark.
const (
	Silence = '.'
	Creak   = 'c' // of the pedals
	Faint   = 'f' // tap
	Tap     = 't'
	Swish   = 's'
	Knock   = 'k' // crisp
	Dull    = 'd' // muffled
)

// A CuffSize is printed on the bladder by the girth of the mid-arm that it fits.
type CuffSize string

const (
	SmallAdult CuffSize = "small_adult"
	Adult      CuffSize = "adult"
	LargeAdult CuffSize = "large_adult"
	Thigh      CuffSize = "thigh"
)

var cuffSizes = []struct {
	size      CuffSize
	low, high unit.Girth
}{{SmallAdult, 22, 26.5}, {Adult, 26.5, 34.5}, {LargeAdult, 34.5, 44.5}, {Thigh, 44.5, 53}}

// FittingCuff returns the size for the girth of the mid-arm: 22–26, 27–34, 35–44, 45–52 cm. Source: [PICKERING2005].
func FittingCuff(arm unit.Girth) CuffSize {
	for _, c := range cuffSizes {
		if arm < c.high {
			return c.size
		}
	}
	return Thigh
}

// SizeError returns how much higher (too small) or lower (too large) the wrong size reads, in mmHg: one size too small +5, two +19, each
// size too large −3.6. Source: [ISHIGAMI2023].
func SizeError(used CuffSize, arm unit.Girth) unit.Pressure {
	rank := func(s CuffSize) int {
		for i, c := range cuffSizes {
			if c.size == s {
				return i
			}
		}
		return 1
	}
	switch off := rank(FittingCuff(arm)) - rank(used); {
	case off >= 2:
		return 19
	case off == 1:
		return 5
	default:
		return unit.Pressure(3.6 * float64(off))
	}
}

const (
	placeS     = 3    // s to find the artery and settle the stethoscope. Source: [CHOICE-CUFF].
	pumpRate   = 25.0 // mmHg/s. Source: [CHOICE-CUFF].
	listenOn   = 10   // mmHg below the last sound before the rest is let out, more when two slow beats take longer. Source: [WSU].
	gapOn      = 40   // mmHg below a last tap or swish: as wide as a silent gap may be. Source: [SKYSCAPE].
	letOutAt   = 30   // mmHg at which the rest is let out when nothing more is heard
	creakPart  = 0.16 // of marks while pedalling. Source: [CHOICE-CUFF].
	lostFirst  = 0.3  // chance that pedal noise covers a first, faint sound. Source: [PRACTICE-NOISE].
	faintAbove = 0.92 // share of pulse pressure above which a sound is faint. Phases: Source: [SCOOP].
	tapAbove   = 0.7
	swishAbove = 0.45
	knockAbove = 0.12
)

// A Cuff is one inflation and deflation on one arm. It knows beats only.
type Cuff struct {
	r        *rand.Rand
	from     time.Duration
	top      float64
	valve    float64
	noisy    bool
	offset   float64 // from a wrong size
	artery   Artery
	full     float64 // how congested the arm still is, 0 to 1
	gauge    float64
	opensAt  int // whole seconds after from at which the valve opens
	elapsed  int
	heard    []byte
	lastMark int  // gauge of the last mark with a sound, −1 when none
	last     byte // what was heard there
	firsts   int  // sounds of the first two that may be covered by noise
}

// NewCuff starts an inflation to pump mmHg, to be let down at valve mmHg/s. In a noisy room the pedals creak. used is the cuff chosen for the arm.
func NewCuff(r *rand.Rand, pump unit.Pressure, valve float64, from time.Duration, noisy bool, used CuffSize, arm unit.Girth) *Cuff {
	c := &Cuff{}
	c.Start(r, pump, valve, from, noisy, used, arm)
	return c
}

// Start is NewCuff on a cuff that is used again, keeping its buffer.
func (c *Cuff) Start(r *rand.Rand, pump unit.Pressure, valve float64, from time.Duration, noisy bool, used CuffSize, arm unit.Girth) {
	top := math.Round(float64(pump)/GaugeStep) * GaugeStep
	*c = Cuff{
		r: r, from: from, top: top, valve: valve, noisy: noisy, offset: float64(SizeError(used, arm)), gauge: top,
		opensAt: InflationS(int(top)), heard: c.heard[:0], lastMark: -1,
	}
}

// InflationS returns how many whole seconds pass from taking up the cuff until its valve opens at top mmHg.
func InflationS(top int) int { return placeS + int(math.Ceil(float64(top)/pumpRate)) }

// Second offers the beats of the next second and reports whether the cuff is down.
//
// A beat sounds when the cuff's pressure at its moment lies between the beat's own diastolic and systolic; the sound is noted at the
// mark that the needle passes next. So a fast valve reads systolic low, and a cuff pumped too little starts in the middle of the sounds.
func (c *Cuff) Second(beats []Beat) (done bool) {
	c.elapsed++
	if c.elapsed <= c.opensAt {
		return false
	}
	start := c.from + time.Duration(c.elapsed-1)*time.Second
	open := c.from + time.Duration(c.opensAt)*time.Second
	end := c.top - float64(c.valve*float64(c.elapsed-c.opensAt))
	next := 0
	for mark := c.nextMark(); float64(mark) >= end && mark >= 0; mark = c.nextMark() {
		code := byte(Silence)
		for ; next < len(beats); next++ {
			at := c.top - float64(c.valve*(beats[next].At-open).Seconds())
			if beats[next].At < start {
				continue
			}
			if at < float64(mark) {
				break
			}
			if s := c.sound(beats[next], at); s != Silence {
				code = s
			}
		}
		if code != Silence {
			c.lastMark, c.last = mark, code
		} else if c.noisy && c.r.Float64() < creakPart {
			code = Creak
		}
		c.heard = append(c.heard, code)
		c.gauge = float64(mark)
		if c.down(mark) {
			return true
		}
	}
	for ; next < len(beats); next++ { // heard after the last mark of this second: noted at the next, once
		at := c.top - float64(c.valve*(beats[next].At-open).Seconds())
		s := c.sound(beats[next], at)
		switch noted := float64(c.nextMark() + GaugeStep); {
		case s == Silence || c.nextMark() < 0:
		case at >= noted && len(c.heard) > 0: // that mark stands there already
			c.heard[len(c.heard)-1] = s
			c.lastMark, c.last = int(noted), s
		default:
			c.heard = append(c.heard, s)
			c.lastMark, c.last = c.nextMark()+GaugeStep, s
			c.gauge = float64(c.lastMark)
		}
	}
	return c.gauge <= 0
}

// Misread makes every pressure read by so much higher than it is: a gauge off zero, an arm below the heart.
func (c *Cuff) Misread(by unit.Pressure) { c.offset += float64(by) }

// Over says whose artery the cuff lies over, and how many seconds ago the last cuff on this arm came down; −1 when none did.
func (c *Cuff) Over(a Artery, sinceS int) {
	c.artery = a
	if sinceS >= 0 && sinceS < congestedS {
		c.full = 1 - float64(sinceS)/congestedS
	}
}

// nextMark is the gauge mark to be noted next: the first is just below the top.
func (c *Cuff) nextMark() int { return int(c.top) - GaugeStep*(len(c.heard)+1) }

func (c *Cuff) down(mark int) bool {
	if c.lastMark < 0 {
		return mark <= letOutAt
	}
	on := max(listenOn, 2*slowBeatS*c.valve)
	if c.last != Knock && c.last != Dull {
		on = max(on, gapOn) // sounds that end in a tap have not ended
	}
	return float64(mark) <= float64(c.lastMark)-on || mark <= 0
}

// sound says what one beat sounds like at the cuff pressure.
func (c *Cuff) sound(b Beat, cuff float64) byte {
	high := float64(b.Systolic) + c.offset - float64(congestedSBP*c.full)
	low := float64(b.Diastolic) + c.offset + float64(congestedDBP*c.full)
	switch {
	case cuff >= high || cuff <= 0:
		return Silence
	case cuff <= low && c.noisy && c.artery.ToZero:
		return Dull
	case cuff <= low:
		return Silence
	}
	part := (cuff - low) / (high - low)
	if c.artery.silent(part) {
		return Silence
	}
	if c.noisy && c.firsts < 2 {
		c.firsts++
		if c.r.Float64() < lostFirst {
			return Silence
		}
	}
	switch {
	case part > faintAbove:
		return Faint
	case part > tapAbove:
		return Tap
	case part > swishAbove:
		return Swish
	case part > knockAbove:
		return Knock
	}
	return Dull
}

// Heard returns one letter a mark, from the first mark below the top down.
func (c *Cuff) Heard() string { return string(c.heard) }

// Top returns the pressure at which the valve was opened.
func (c *Cuff) Top() int { return int(c.top) }

// runOn is the pressure below which a last sound says nothing of the diastolic pressure, in mmHg. Source: [K45].
const runOn = 40

// slowBeatS is the longest time between two beats that still follow one another, in s: 33 bpm. Source: [PRACTICE-INSTRUMENTS].
const slowBeatS = 1.8

// A Sounds is what a careful listener writes of one deflation.
type Sounds struct {
	Systolic    unit.Pressure // first of two consecutive sounds
	Muffled     unit.Pressure // first dull sound (phase IV); 0 when none
	Diastolic   unit.Pressure // mark of the last sound (phase V); of the muffling where the sounds run on below 40 mmHg
	Last        unit.Pressure // mark of the last sound, wherever it is
	HeardAtOnce bool          // sounds from the first marks on: pumped too little, no systolic can be read
	Any         bool
}

// String is the pressure as it is written on a sheet: 148/72, or 178/70/0 where the sounds ran on.
func (s Sounds) String() string {
	if s.Last < runOn && s.Diastolic > s.Last {
		return fmt.Sprintf("%.0f/%.0f/%.0f", s.Systolic, s.Diastolic, s.Last)
	}
	return fmt.Sprintf("%.0f/%.0f", s.Systolic, s.Diastolic)
}

// ReadSounds reads a deflation as a perfect listener would: systolic at the first of two consecutive sounds, diastolic at the last one before
// they are gone. Where they run on to nothing, as in work they may, the muffling is taken for diastolic, and both are written: 178/70/0.
// Two sounds are consecutive when the needle takes no longer between them than a slow heart between two beats. Source: [WSU], [PICKERING2005],
// [SKYSCAPE] the last sound; [K45] sounds to nothing.
func ReadSounds(top int, valve float64, heard string) Sounds {
	var s Sounds
	last, first := -1, -1
	for i := 0; i < len(heard); i++ {
		code := heard[i]
		if code == Silence || code == Creak {
			continue
		}
		mark := top - GaugeStep*(i+1)
		if first >= 0 && last >= 0 && float64(GaugeStep*(i-last-1)) > slowBeatS*valve && s.Systolic == 0 {
			first = i // the one before stood alone
		}
		if first < 0 {
			first = i
		} else if s.Systolic == 0 {
			s.Systolic = unit.Pressure(top - GaugeStep*(first+1))
		}
		if code == Dull && s.Muffled == 0 {
			s.Muffled = unit.Pressure(mark)
		}
		last = i
	}
	if first < 0 {
		return s
	}
	s.Any = true
	if s.Systolic == 0 {
		s.Systolic = unit.Pressure(top - GaugeStep*(first+1))
	}
	s.Last = unit.Pressure(max(0, top-GaugeStep*(last+1)))
	s.Diastolic = s.Last
	if s.Last < runOn && s.Muffled > 0 {
		s.Diastolic = s.Muffled
	}
	s.HeardAtOnce = first == 0
	return s
}
