package body

import (
	"math/rand/v2"

	"kilopond/physiology/unit"
)

// plain is the mechanism of what only changes the person or the day before the body is made.
type plain struct{ healthy }

// Drug is a medicine in the body today. It changes rates and pressures and shows no sign.
//
// Source: [GORDON1985] direction, and that the relation between the ends stays; sizes from memory: [CHOICE-DRUGS].
type Drug struct {
	Kind string `json:"kind" yaml:"kind"` // rate_slowing, pressure_lowering or rate_raising
	Dose *Span  `json:"dose_times,omitempty" yaml:"dose_times,omitempty"`
}

func (Drug) name() string { return "drug" }

func (d Drug) check() []string {
	var faults []string
	switch d.Kind {
	case "rate_slowing", "pressure_lowering", "rate_raising":
	default:
		faults = append(faults, "kind: rate_slowing, pressure_lowering or rate_raising")
	}
	if d.Dose != nil {
		faults = inside(faults, "dose_times", *d.Dose, 0.2, 1.5)
	}
	return faults
}

func (Drug) start(Traits, *rand.Rand) mechanism { return plain{} }

// alter: an ordinary dose lies between 0.6 and 1.2 of the sizes given. Source: [CHOICE-DRUGS].
func (d Drug) alter(t *Traits, day *Day, r *rand.Rand) {
	dose := Span{0.6, 1.2}
	if d.Dose != nil {
		dose = *d.Dose
	}
	k := dose.draw(r)
	switch d.Kind {
	case "rate_slowing":
		t.RestHR = unit.HR(grid(float64(t.RestHR) * (1 - float64(0.15*k))))
		t.TrueMaxHR = max(unit.HR(grid(float64(t.TrueMaxHR)*(1-float64(0.25*k)))), t.RestHR+40)
		day.SBPShift -= float64(8 * k)
		t.SBPSlope = grid(t.SBPSlope * (1 - float64(0.2*k)))
		day.Nerves = float64(day.Nerves * 0.4)
		day.RPEShift += float64(0.75 * k)
	case "pressure_lowering":
		day.SBPShift -= float64(8 * k)
	case "rate_raising":
		day.HRShift += float64(7.5 * k)
		t.RestHR = unit.HR(grid(float64(t.RestHR) + float64(7.5*k)))
	}
}

// Caffeine is coffee in somebody who is not used to it: resting systolic up, rate at work a little down, nothing on pressure at work.
//
// Source: [MCCLARAN2007] −4 to −7 bpm and +7 mmHg at 1.5–3 mg/kg.
type Caffeine struct {
	Dose Span `json:"mg_per_kg" yaml:"mg_per_kg"`
}

func (Caffeine) name() string { return "caffeine" }

func (c Caffeine) check() []string { return inside(nil, "mg_per_kg", c.Dose, 0.5, 8) }

func (Caffeine) start(Traits, *rand.Rand) mechanism { return plain{} }

func (c Caffeine) alter(t *Traits, day *Day, r *rand.Rand) {
	dose := c.Dose.draw(r)
	k := min(dose/2.25, 1.5)
	day.HRShift -= min(2.5+dose, 7) // 4 bpm at 1.5 mg/kg, 5.5 at 3
	day.SBPShift += float64(7 * k)
	t.SBPJump = grid(max(0, t.SBPJump-float64(7*k))) // at work the pressure is that of any other day
}

// Fever is a temperature above that of other days, and the illness behind it.
//
// Source: [PRACTICE-FEVER] 8–10 bpm for each degree; its words [CHOICE-SIGNS].
type Fever struct {
	Above Span `json:"above_c" yaml:"above_c"` // °C above normal
}

func (Fever) name() string { return "fever" }

func (f Fever) check() []string { return inside(nil, "above_c", f.Above, 0.3, 2.5) }

func (f Fever) alter(t *Traits, day *Day, r *rand.Rand) {
	above := f.Above.draw(r)
	t.RestHR = unit.HR(grid(float64(t.RestHR) + float64(9*above)))
	t.TrueMaxHR = max(t.TrueMaxHR, t.RestHR+60)
	day.HRShift += float64(2.5 * above) // with the higher rest it makes 9 bpm a degree at light work
	day.RPEShift += float64(1.2 * above)
	day.Fever = max(day.Fever, above)
}

func (f Fever) start(Traits, *rand.Rand) mechanism { return &fever{} }

type fever struct{ healthy }

// symptoms: a fever that has just begun is admitted, one above 38 °C or so is seen by everybody. Source: [CHOICE-SIGNS].
func (f *fever) symptoms(b *Body, dst []Symptom) []Symptom {
	above, grade := b.day.Fever, 1
	switch {
	case above <= 0:
		return dst
	case above >= 2:
		grade = 3
	case above >= 1.2:
		grade = 2
	}
	return append(dst, Symptom{UnwellToday, grade, Found}, Symptom{UnwellToday, grade, Seen})
}

// HardDay is a race or a day of hard work on the day before: work feels harder than the heart rate says, the rate itself is the same or lower, it
// comes down faster afterwards, and less is left at the top.
//
// Source: [SPENKO2022] the day after a half-marathon 30 bpm down in the first 30 s after the same work, not 24; [MANN2015] rating 13, not 11, at
// the same rate, and 35 bpm down in a minute, not 29; [AUBRY2015] the same, with a lower maximum; size of the last, and of what is left,
// [CHOICE-MECHANISMS].
type HardDay struct{}

func (HardDay) name() string { return "hard_day" }

func (HardDay) check() []string { return nil }

func (HardDay) start(Traits, *rand.Rand) mechanism { return plain{} }

func (HardDay) alter(t *Traits, day *Day, r *rand.Rand) {
	k := within(r, 1, 0.3, 0.4, 1.6)
	day.RPEShift += float64(0.9 * k) // with the lower threshold 1.2 ratings more
	t.RecoveryTau = max(30, grid(t.RecoveryTau*(1-float64(0.25*k))))
	t.TrueMaxHR = max(unit.HR(grid(float64(t.TrueMaxHR)-float64(4*k))), t.RestHR+60)
	t.Threshold = grid(t.Threshold - float64(0.03*k))
	t.VO2Max = unit.VO2(grid(float64(t.VO2Max) * 0.97))
}
