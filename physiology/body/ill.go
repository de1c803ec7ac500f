package body

import (
	"fmt"
	"math/rand/v2"
)

// A Span is an interval from which a mechanism's own value is drawn evenly.
type Span struct {
	Low  float64 `json:"low" yaml:"low"`
	High float64 `json:"high" yaml:"high"`
}

func (s Span) draw(r *rand.Rand) float64 { return uniform(r, s.Low, s.High) }

// An Ill configures one mechanism of what is wrong. Exactly one field is set.
type Ill struct {
	Angina       *Angina    `json:"angina,omitempty" yaml:"angina,omitempty"`
	PressureFall *FallingBP `json:"pressure_fall,omitempty" yaml:"pressure_fall,omitempty"`
}

// config is one mechanism's settings.
type config interface {
	name() string
	check() []string
	start(t Traits, r *rand.Rand) mechanism
}

// A mechanism is illness at work in one body. Each hook is called once a second and may change what the healthy body would do.
type mechanism interface {
	cadence(b *Body, rpm float64) float64
	heart(b *Body, bpm float64) float64
	pressure(b *Body, sbp, dbp float64) (float64, float64)
	interval(b *Body, long float64) float64 // of the next beat, as a fraction of the mean one
	after(b *Body)                          // the second is complete: move the mechanism's own state
	symptoms(b *Body, dst []Symptom) []Symptom
}

// healthy is a mechanism that changes nothing; others embed it and say only what differs.
type healthy struct{}

func (healthy) cadence(_ *Body, rpm float64) float64                  { return rpm }
func (healthy) heart(_ *Body, bpm float64) float64                    { return bpm }
func (healthy) pressure(_ *Body, sbp, dbp float64) (float64, float64) { return sbp, dbp }
func (healthy) interval(_ *Body, long float64) float64                { return long }
func (healthy) after(*Body)                                           {}
func (healthy) symptoms(_ *Body, dst []Symptom) []Symptom             { return dst }

func (i Ill) configs() []config {
	var all []config
	if i.Angina != nil {
		all = append(all, *i.Angina)
	}
	if i.PressureFall != nil {
		all = append(all, *i.PressureFall)
	}
	return all
}

// Name returns the mechanism's name as written in a case, or "" when none is set.
func (i Ill) Name() string {
	for _, c := range i.configs() {
		return c.name()
	}
	return ""
}

// Check returns the faults of the settings, in words; none when the mechanism can run.
func (i Ill) Check() []string {
	all := i.configs()
	if len(all) != 1 {
		return []string{fmt.Sprintf("one mechanism each: this has %d", len(all))}
	}
	return all[0].check()
}

// mechanism starts the one mechanism; Check must have passed.
func (i Ill) mechanism(t Traits, r *rand.Rand) mechanism {
	for _, c := range i.configs() {
		return c.start(t, r)
	}
	panic("body: an ill must name a mechanism")
}

// inside says in words when a span leaves low…high or is upside down.
func inside(faults []string, key string, s Span, low, high float64) []string {
	if !(s.Low >= low && s.High <= high) {
		faults = append(faults, fmt.Sprintf("%s: %g–%g leaves %g–%g", key, s.Low, s.High, low, high))
	}
	if s.Low > s.High {
		faults = append(faults, fmt.Sprintf("%s: low %g is above high %g", key, s.Low, s.High))
	}
	return faults
}
