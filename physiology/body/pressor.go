package body

import "math/rand/v2"

// Pressor is systolic pressure that climbs far more steeply with work than in others. Nothing is felt. Source: [CHOICE-MECHANISMS].
type Pressor struct {
	Slope Span `json:"slope_times" yaml:"slope_times"` // of the person's own mmHg for each watt
}

func (Pressor) name() string { return "pressor" }

func (p Pressor) check() []string { return inside(nil, "slope_times", p.Slope, 1.1, 5) }

func (p Pressor) start(t Traits, r *rand.Rand) mechanism {
	return &pressor{more: (p.Slope.draw(r) - 1) * t.SBPSlope}
}

type pressor struct {
	healthy
	more float64 // mmHg/W
}

func (p *pressor) pressure(b *Body, sbp, dbp float64) (float64, float64) {
	return min(sbp+float64(p.more*b.watts/least(b.demand, 1)), mostSystolic), dbp
}

// mostSystolic is the highest pressure that still leaves a gauge of 300 mmHg room above it. Source: [CHOICE-MECHANISMS].
const mostSystolic = 284

// symptoms: above 220 worth a note, above 250 the end, by the pressure before its wander, so that a sign does not come and go by the second. Source: [BENJ], [CVU2017].
func (p *pressor) symptoms(b *Body, dst []Symptom) []Symptom {
	switch {
	case b.systole > 250:
		return append(dst, Symptom{PressureHigh, 3, Found})
	case b.systole > 220:
		return append(dst, Symptom{PressureHigh, 1, Found})
	}
	return dst
}

// RisingDBP is diastolic pressure that climbs with work instead of staying where it was. Nothing is felt. Source: [CHOICE-MECHANISMS].
type RisingDBP struct {
	Rise Span `json:"rise_mmhg" yaml:"rise_mmhg"` // from rest to maximum
}

func (RisingDBP) name() string { return "diastolic_rise" }

func (d RisingDBP) check() []string { return inside(nil, "rise_mmhg", d.Rise, 10, 60) }

func (d RisingDBP) start(t Traits, r *rand.Rand) mechanism {
	return &risingDBP{more: d.Rise.draw(r) - t.DBPChange}
}

type risingDBP struct {
	healthy
	more float64 // mmHg above what the person's own change would be, at maximum
}

func (d *risingDBP) pressure(b *Body, sbp, dbp float64) (float64, float64) {
	dbp += float64(d.more * b.x34())
	return max(sbp, dbp+14), dbp
}

// symptoms: 10 above the rest of that day worth a note, above 115 the end, by the pressure before its wander. Source: [BENJ].
func (d *risingDBP) symptoms(b *Body, dst []Symptom) []Symptom {
	switch {
	case b.diastole > 115:
		return append(dst, Symptom{DiastolicRise, 3, Found})
	case b.diastole > float64(b.traits.RestDBP)+float64(0.5*b.day.SBPShift)+10:
		return append(dst, Symptom{DiastolicRise, 1, Found})
	}
	return dst
}
