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
}

func (f Fever) start(Traits, *rand.Rand) mechanism {
	grade := 1
	if float64(f.Above.Low+f.Above.High)/2 >= 1.2 {
		grade = 2
	}
	return &fever{grade: grade}
}

type fever struct {
	healthy
	grade int
}

func (f *fever) symptoms(_ *Body, dst []Symptom) []Symptom {
	return append(dst, Symptom{UnwellToday, f.grade, Found}, Symptom{UnwellToday, f.grade, Seen})
}

// HardDay is a race or a day of hard work behind the person: the rate is higher at every load, work feels harder, and less is left.
//
// Source: [CHOICE-MECHANISMS]; the size of the shift at work [PRACTICE-FEVER].
type HardDay struct{}

func (HardDay) name() string { return "hard_day" }

func (HardDay) check() []string { return nil }

func (HardDay) start(Traits, *rand.Rand) mechanism { return plain{} }

func (HardDay) alter(t *Traits, day *Day, r *rand.Rand) {
	k := within(r, 1, 0.3, 0.4, 1.6)
	day.HRShift += float64(3.5 * k) // with the higher rest and the lower maximum it makes 5 at work
	day.RPEShift += float64(1.1 * k)
	t.RestHR = unit.HR(grid(float64(t.RestHR) + float64(2*k)))
	t.Threshold = grid(t.Threshold - float64(0.03*k))
	t.VO2Max = unit.VO2(grid(float64(t.VO2Max) * 0.97))
}
