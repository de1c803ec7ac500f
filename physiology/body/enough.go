package body

import "math/rand/v2"

// Enough is somebody who has had enough of it after some minutes and says so: nothing is wrong with the body, and no reason is owed. Who is
// not heard says it again, and then stops of their own accord; a lighter load is being heard. Source: [EXRX] free to stop at any time; [CHOICE-MECHANISMS] times.
type Enough struct {
	Onset Span `json:"onset_min" yaml:"onset_min"` // minutes of work
}

func (Enough) name() string { return "enough" }

func (e Enough) check() []string { return inside(nil, "onset_min", e.Onset, 1, 30) }

func (e Enough) start(_ Traits, r *rand.Rand) mechanism { return &enough{onset: 60 * e.Onset.draw(r)} }

type enough struct {
	healthy
	onset, worked float64 // s
	load          float64 // kp, the highest so far
	heard         bool
}

// patienceS is how long somebody who asked to stop goes on pedalling under load. Source: [CHOICE-MECHANISMS].
const patienceS = 75

func (e *enough) after(b *Body) {
	if !b.working() || e.heard {
		return
	}
	e.worked++
	now := float64(b.last.Resistance)
	e.heard = now < e.load
	e.load = max(e.load, now)
	if !e.heard && e.worked > e.onset+patienceS {
		b.stopped = true
	}
}

func (e *enough) symptoms(b *Body, dst []Symptom) []Symptom {
	if e.worked <= e.onset || e.heard || !b.working() {
		return dst
	}
	return append(dst, Symptom{AskedToStop, 3, Unasked})
}
