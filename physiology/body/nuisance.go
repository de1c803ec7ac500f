package body

import "math/rand/v2"

// Nuisance is something felt, seen or said that may worry a proctor and means nothing: a stitch, a dry throat, a knee that creaks.
//
// It changes nothing in the body. It is there above an onset of effort, from a minute of work on, or for some minutes after the pedals
// stop, as the one span that is given says. Source: [CHOICE-NUISANCE].
type Nuisance struct {
	Onset     *Span   `json:"onset_vo2_reserve,omitempty" yaml:"onset_vo2_reserve,omitempty"` // fraction of VO2 reserve
	OnsetMin  *Span   `json:"onset_min,omitempty" yaml:"onset_min,omitempty"`                 // minutes of pedalling
	AfterStop *Span   `json:"after_stop_s,omitempty" yaml:"after_stop_s,omitempty"`           // seconds after the pedals stop
	Channel   Channel `json:"channel" yaml:"channel"`
	EveryS    int     `json:"every_s,omitempty" yaml:"every_s,omitempty"` // of what comes and goes: once in so many seconds; 0 = all the time
}

func (Nuisance) name() string { return "nuisance" }

func (n Nuisance) check() []string {
	var faults []string
	spans := 0
	for _, x := range []struct {
		key       string
		s         *Span
		low, high float64
	}{{"onset_vo2_reserve", n.Onset, 0, 0.9}, {"onset_min", n.OnsetMin, 0, 30}, {"after_stop_s", n.AfterStop, 0, 300}} {
		if x.s != nil {
			spans++
			faults = inside(faults, x.key, *x.s, x.low, x.high)
		}
	}
	if spans != 1 {
		faults = append(faults, "one of onset_vo2_reserve, onset_min and after_stop_s is needed")
	}
	if n.Channel != Unasked && n.Channel != Seen && n.Channel != Found {
		faults = append(faults, "channel: found, seen or unasked")
	}
	if n.EveryS < 0 || n.EveryS > 1800 {
		faults = append(faults, "every_s: 0 to 1800")
	}
	if n.Channel == Unasked && n.EveryS < 30 { // nobody is interrupted twice a minute by nothing
		faults = append(faults, "every_s: at least 30 for what is said unasked")
	}
	return faults
}

func (n Nuisance) start(_ Traits, r *rand.Rand) mechanism {
	m := &nuisance{channel: n.Channel, every: n.EveryS, still: -1}
	switch {
	case n.Onset != nil:
		m.onset, m.kind = n.Onset.draw(r), ofEffort
	case n.OnsetMin != nil:
		m.onset, m.kind = 60*n.OnsetMin.draw(r), ofTime
	case n.AfterStop != nil:
		m.onset, m.kind = n.AfterStop.draw(r), ofStopping
	}
	return m
}

type nuisanceKind int

const (
	ofEffort nuisanceKind = iota
	ofTime
	ofStopping
)

type nuisance struct {
	healthy
	kind    nuisanceKind
	channel Channel
	every   int
	onset   float64 // fraction of reserve, or s

	worked int // s of pedalling so far
	still  int // s since the pedals stopped; −1 before they ever turned
	since  int // s that it has been there
}

// effortSlack keeps a nuisance from flickering about its onset; stillS is how long one of after the work lasts. Source: [CHOICE-NUISANCE].
const effortSlack, stillS = 0.04, 180

func (n *nuisance) after(b *Body) {
	if b.last.Pedalling && !b.stopped {
		n.worked++
		n.still = 0
	} else if n.still >= 0 {
		n.still++
	}
	there := false
	switch n.kind {
	case ofEffort:
		there = b.x >= n.onset || n.since > 0 && b.x >= n.onset-effortSlack
	case ofTime:
		there = float64(n.worked) >= n.onset && n.still == 0
	case ofStopping:
		there = float64(n.still) > n.onset && float64(n.still) <= n.onset+stillS
	}
	if there {
		n.since++
	} else {
		n.since = 0
	}
}

func (n *nuisance) symptoms(_ *Body, dst []Symptom) []Symptom {
	if n.since == 0 || n.every > 0 && (n.since-1)%n.every != 0 {
		return dst
	}
	return append(dst, Symptom{Harmless, 1, n.channel})
}
