package body

import "math/rand/v2"

// apartFrom makes a generator of its own for a mechanism that draws at every beat, so that the mechanisms after it leave those draws as they were.
func apartFrom(r *rand.Rand) *rand.Rand { return rand.New(rand.NewPCG(r.Uint64(), r.Uint64())) }

// PrematureBeats are beats that come early, mostly too weak to be felt, each followed by a pause, so that the pulse seems to drop one.
//
// Early by a quarter to two fifths of an interval, with a pause that makes two intervals together; three in ten are felt. How often they are
// met: 1.8 % of a sample in exercise. Source: [REFAAT2021] frequency; [CHOICE-RHYTHM] the rest.
type PrematureBeats struct {
	Onset  Span `json:"onset_vo2_reserve" yaml:"onset_vo2_reserve"` // fraction of VO2 reserve; 0 = also at rest
	PerMin Span `json:"per_min" yaml:"per_min"`
}

func (PrematureBeats) name() string { return "premature_beats" }

func (p PrematureBeats) check() []string {
	return inside(inside(nil, "onset_vo2_reserve", p.Onset, 0, 0.9), "per_min", p.PerMin, 0.2, 30)
}

func (p PrematureBeats) start(_ Traits, r *rand.Rand) mechanism {
	return &prematureBeats{onset: p.Onset.draw(r), perMin: p.PerMin.draw(r), r: apartFrom(r)}
}

type prematureBeats struct {
	healthy
	onset, perMin float64
	r             *rand.Rand
	pause         float64 // of the interval after an early beat; 0 when none is owed
}

func (p *prematureBeats) present(b *Body) bool { return b.x >= p.onset }

func (p *prematureBeats) coming(b *Body, next *coming) {
	if p.pause > 0 {
		next.long = p.pause
		next.systolic += 6 // the heart had time to fill
		p.pause = 0
		return
	}
	if !p.present(b) || p.r.Float64() >= p.perMin/b.hr {
		return
	}
	early := 0.60 + float64(0.15*gridEven(p.r.Float64()))
	p.pause = 2 - early
	next.long = early
	next.strength = 0.3
	next.systolic -= 24
}

// symptoms: above six a minute it is no longer rare. Source: [PRACTICE-EMERGENCY].
func (p *prematureBeats) symptoms(b *Body, dst []Symptom) []Symptom {
	switch {
	case !p.present(b):
		return dst
	case p.perMin > 12:
		return append(dst, Symptom{IrregularPulse, 3, Found})
	case p.perMin > 6:
		return append(dst, Symptom{IrregularPulse, 2, Found})
	}
	return append(dst, Symptom{IrregularPulse, 1, Found})
}

// Fibrillation is a rhythm without any order, faster than the work explains, with beats too weak to arrive at the wrist.
//
// Source: [CHOICE-RHYTHM]: a spread of about 0.22 of the interval, 20–40 bpm more, 5–20 % of beats not felt.
type Fibrillation struct {
	Onset   Span `json:"onset_vo2_reserve" yaml:"onset_vo2_reserve"` // fraction of VO2 reserve; 0 = all the time
	Extra   Span `json:"extra_bpm" yaml:"extra_bpm"`                 // bpm at work; half of it at rest
	Spread  Span `json:"spread" yaml:"spread"`                       // SD of the intervals as a fraction of their mean
	Deficit Span `json:"deficit" yaml:"deficit"`                     // fraction of beats that no finger feels
}

func (Fibrillation) name() string { return "fibrillation" }

func (f Fibrillation) check() []string {
	faults := inside(nil, "onset_vo2_reserve", f.Onset, 0, 0.9)
	faults = inside(faults, "extra_bpm", f.Extra, 0, 60)
	faults = inside(faults, "spread", f.Spread, 0.1, 0.4)
	return inside(faults, "deficit", f.Deficit, 0, 0.3)
}

func (f Fibrillation) start(_ Traits, r *rand.Rand) mechanism {
	m := &fibrillation{onset: f.Onset.draw(r), extra: f.Extra.draw(r), spread: f.Spread.draw(r), deficit: f.Deficit.draw(r), r: apartFrom(r)}
	m.on = m.onset == 0
	return m
}

type fibrillation struct {
	healthy
	onset, extra, spread, deficit float64
	r                             *rand.Rand
	on                            bool // once begun it stays for the visit
}

func (f *fibrillation) after(b *Body) { f.on = f.on || b.x >= f.onset }

func (f *fibrillation) heart(b *Body, bpm float64) float64 {
	if !f.on {
		return bpm
	}
	return min(bpm+float64(f.extra*(0.5+float64(0.5*min(1, b.x/0.3)))), float64(b.traits.TrueMaxHR)+10)
}

func (f *fibrillation) coming(_ *Body, next *coming) {
	if !f.on {
		return
	}
	s := f.spread
	u := clip(gridEven(f.r.NormFloat64()), -2.5, 2.5)
	next.long = exp(float64(s*u) - float64(s*s)/2)
	next.systolic += float64(22 * (next.long - 1)) // a long interval fills the heart, a short one does not
	// The weakest are the earliest: a beat is lost more often after a short interval.
	lost := f.deficit * 2
	if u > 0 {
		lost = 0
	}
	if f.r.Float64() < lost {
		next.strength = 0
	}
}

func (f *fibrillation) symptoms(_ *Body, dst []Symptom) []Symptom {
	if f.on {
		dst = append(dst, Symptom{IrregularPulse, 3, Found})
	}
	return dst
}
