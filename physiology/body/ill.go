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
	Angina         *Angina         `json:"angina,omitempty" yaml:"angina,omitempty"`
	PressureFall   *FallingBP      `json:"pressure_fall,omitempty" yaml:"pressure_fall,omitempty"`
	Pressor        *Pressor        `json:"pressor,omitempty" yaml:"pressor,omitempty"`
	DiastolicRise  *RisingDBP      `json:"diastolic_rise,omitempty" yaml:"diastolic_rise,omitempty"`
	PrematureBeats *PrematureBeats `json:"premature_beats,omitempty" yaml:"premature_beats,omitempty"`
	Fibrillation   *Fibrillation   `json:"fibrillation,omitempty" yaml:"fibrillation,omitempty"`
	RateLimit      *RateLimit      `json:"rate_limit,omitempty" yaml:"rate_limit,omitempty"`
	Faint          *Faint          `json:"faint,omitempty" yaml:"faint,omitempty"`
	Drug           *Drug           `json:"drug,omitempty" yaml:"drug,omitempty"`
	Claudication   *Claudication   `json:"claudication,omitempty" yaml:"claudication,omitempty"`
	Bronchospasm   *Bronchospasm   `json:"bronchospasm,omitempty" yaml:"bronchospasm,omitempty"`
	LowSugar       *LowSugar       `json:"low_sugar,omitempty" yaml:"low_sugar,omitempty"`
	Knee           *Knee           `json:"knee,omitempty" yaml:"knee,omitempty"`
	Caffeine       *Caffeine       `json:"caffeine,omitempty" yaml:"caffeine,omitempty"`
	Fever          *Fever          `json:"fever,omitempty" yaml:"fever,omitempty"`
	HardDay        *HardDay        `json:"hard_day,omitempty" yaml:"hard_day,omitempty"`
	Heat           *Heat           `json:"heat,omitempty" yaml:"heat,omitempty"`
	Enough         *Enough         `json:"enough,omitempty" yaml:"enough,omitempty"`
	Nervous        *Nervous        `json:"nervous,omitempty" yaml:"nervous,omitempty"`
	Dip            *Dip            `json:"dip,omitempty" yaml:"dip,omitempty"`
	Nuisance       *Nuisance       `json:"nuisance,omitempty" yaml:"nuisance,omitempty"`
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
	oxygen(b *Body, ask float64) float64 // mL/min that the work asks for
	heart(b *Body, bpm float64) float64  // the level that the heart rate follows
	pressure(b *Body, sbp, dbp float64) (float64, float64)
	coming(b *Body, next *coming)           // once a beat: the one after it
	effort(b *Body, rating float64) float64 // of exertion, 6 to 20
	after(b *Body)                          // the second is complete: move the mechanism's own state
	symptoms(b *Body, dst []Symptom) []Symptom
}

// healthy is a mechanism that changes nothing; others embed it and say only what differs.
type healthy struct{}

func (healthy) cadence(_ *Body, rpm float64) float64                  { return rpm }
func (healthy) oxygen(_ *Body, ask float64) float64                   { return ask }
func (healthy) heart(_ *Body, bpm float64) float64                    { return bpm }
func (healthy) pressure(_ *Body, sbp, dbp float64) (float64, float64) { return sbp, dbp }
func (healthy) coming(*Body, *coming)                                 {}
func (healthy) effort(_ *Body, rating float64) float64                { return rating }
func (healthy) after(*Body)                                           {}
func (healthy) symptoms(_ *Body, dst []Symptom) []Symptom             { return dst }

// An alterer is a config that changes what the person is today, or the day itself, before the body is made: a drug, a fever.
type alterer interface {
	alter(t *Traits, d *Day, r *rand.Rand)
}

// Alter changes a person and a day by the ills that do so. A body is made of what comes out.
func Alter(t *Traits, d *Day, ills []Ill, r *rand.Rand) {
	for _, i := range ills {
		for _, c := range i.configs() {
			if a, ok := c.(alterer); ok {
				a.alter(t, d, r)
			}
		}
	}
}

func (i Ill) configs() []config {
	var all []config
	if i.Angina != nil {
		all = append(all, *i.Angina)
	}
	if i.PressureFall != nil {
		all = append(all, *i.PressureFall)
	}
	if i.Pressor != nil {
		all = append(all, *i.Pressor)
	}
	if i.DiastolicRise != nil {
		all = append(all, *i.DiastolicRise)
	}
	if i.PrematureBeats != nil {
		all = append(all, *i.PrematureBeats)
	}
	if i.Fibrillation != nil {
		all = append(all, *i.Fibrillation)
	}
	if i.RateLimit != nil {
		all = append(all, *i.RateLimit)
	}
	if i.Faint != nil {
		all = append(all, *i.Faint)
	}
	if i.Drug != nil {
		all = append(all, *i.Drug)
	}
	if i.Claudication != nil {
		all = append(all, *i.Claudication)
	}
	if i.Bronchospasm != nil {
		all = append(all, *i.Bronchospasm)
	}
	if i.LowSugar != nil {
		all = append(all, *i.LowSugar)
	}
	if i.Knee != nil {
		all = append(all, *i.Knee)
	}
	if i.Caffeine != nil {
		all = append(all, *i.Caffeine)
	}
	if i.Fever != nil {
		all = append(all, *i.Fever)
	}
	if i.HardDay != nil {
		all = append(all, *i.HardDay)
	}
	if i.Heat != nil {
		all = append(all, *i.Heat)
	}
	if i.Enough != nil {
		all = append(all, *i.Enough)
	}
	if i.Nervous != nil {
		all = append(all, *i.Nervous)
	}
	if i.Dip != nil {
		all = append(all, *i.Dip)
	}
	if i.Nuisance != nil {
		all = append(all, *i.Nuisance)
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
