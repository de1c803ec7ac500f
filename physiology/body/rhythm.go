package body

import "math/rand/v2"

// apartFrom makes a generator of its own for a mechanism that draws at every beat, so that the mechanisms after it leave those draws as they were.
func apartFrom(r *rand.Rand) *rand.Rand { return rand.New(rand.NewPCG(r.Uint64(), r.Uint64())) }

// PrematureBeats are beats that come early, mostly too weak to be felt, each followed by a pause, so that the pulse seems to drop one.
//
// They begin at an onset of effort and become more frequent with it; when the work ends they fade over some minutes, in some people after a
// burst. Early by a quarter to two fifths of an interval, with a pause that makes two intervals together; three in ten are felt.
//
// Source: [BLACKBURN1973] in hardly anybody at rest, in a third at the highest load; [REFAAT2021] frequent in 1.8 % during exercise, in 2.4 % in
// recovery, in 0.8 % in both; [CHOICE-RHYTHM] the rest.
type PrematureBeats struct {
	Onset  Span `json:"onset_vo2_reserve" yaml:"onset_vo2_reserve"` // fraction of VO2 reserve; 0 = also at rest
	PerMin Span `json:"per_min" yaml:"per_min"`                     // in hard work
}

func (PrematureBeats) name() string { return "premature_beats" }

func (p PrematureBeats) check() []string {
	return inside(inside(nil, "onset_vo2_reserve", p.Onset, 0, 0.9), "per_min", p.PerMin, 0.2, 30)
}

// start: how many come in recovery, against work, differs widely. Source: [REFAAT2021].
func (p PrematureBeats) start(_ Traits, r *rand.Rand) mechanism {
	m := &prematureBeats{onset: p.Onset.draw(r), perMin: p.PerMin.draw(r), r: apartFrom(r)}
	m.later = min(grid(exp(grid(laterLn+float64(laterSD*normal(r))))), laterMost)
	if m.onset == 0 {
		m.stir, m.echo = atRest, atRest
	}
	return m
}

type prematureBeats struct {
	healthy
	onset, perMin float64
	later         float64 // times: in recovery, against work
	stir          float64 // of the most, as the effort of these seconds brings them
	echo          float64 // the same, forgotten over minutes
	now           float64 // a minute
	frequent      bool
	r             *rand.Rand
	pause         float64 // of the interval after an early beat; 0 when none is owed
}

// laterLn and laterSD are of the natural logarithm. fullAbove is the effort above the onset at which they are most frequent, atRest the part that is there at rest in whom they begin at 0;
// stirring is 1 − exp(−1/15), echoKeep exp(−1/180). Source: [CHOICE-RHYTHM].
const (
	laterLn, laterSD   = -0.4, 1.2
	laterMost          = 4
	fullAbove, atRest  = 0.3, 0.5
	stirring, echoKeep = 0.06449301496838222, 0.9944598480048967
)

func (p *prematureBeats) after(b *Body) {
	level := clip((b.x-p.onset)/fullAbove, 0, 1)
	if p.onset == 0 {
		level = atRest + float64((1-atRest)*level)
	}
	p.stir += float64((level - p.stir) * stirring)
	p.echo = least(float64(p.echo*echoKeep), p.stir)
	p.now = float64(p.perMin * (p.stir + float64(p.later*(p.echo-p.stir))))
	if p.now < 0.05 {
		p.now = 0
	}
	p.frequent = p.now > frequentFrom || p.frequent && p.now > frequentTo
}

// frequentFrom is how many a minute are no longer rare; what has been found stays found until there are plainly fewer.
// Source: [FROLKIS2003] seven and more; [PRACTICE-EMERGENCY].
const frequentFrom, frequentTo, manyFrom = 6, 5, 12

func (p *prematureBeats) coming(b *Body, next *coming) {
	if p.pause > 0 {
		next.long = p.pause
		next.systolic += 6 // the heart had time to fill
		p.pause = 0
		return
	}
	if p.now == 0 || p.r.Float64() >= p.now/b.hr {
		return
	}
	early := 0.60 + float64(0.15*gridEven(p.r.Float64()))
	p.pause = 2 - early
	next.long = early
	next.strength = 0.3
	next.systolic -= 24
}

// symptoms: rare early beats are no sign of anything, and nothing is made of them.
func (p *prematureBeats) symptoms(_ *Body, dst []Symptom) []Symptom {
	switch {
	case !p.frequent:
		return dst
	case p.now > manyFrom:
		return append(dst, Symptom{IrregularPulse, 3, Found})
	}
	return append(dst, Symptom{IrregularPulse, 2, Found})
}

// Fibrillation is a rhythm without any order, faster than the work explains, with beats too weak to arrive at the wrist.
//
// Source: [BUBER2011] 22 bpm more in the first stage of a test and 35 at its end than after the rhythm was restored; [KETEYIAN2019] often above the
// maximum for the age; [CHOICE-RHYTHM] a spread of about 0.22 of the interval, 5–20 % of beats not felt.
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
	b.headroom = max(b.headroom, f.extra) // such a rate is not bound by the maximum of an orderly one
	return bpm + float64(f.extra*(0.5+float64(0.5*clip(b.x/0.7, 0, 1))))
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
