package body

import "math/rand/v2"

// Faint is a fall of rate and pressure in somebody who stands or sits still after hard legs: blood stays where the muscles no longer pump.
// Two minutes and more of light pedalling prevent it, and lying down ends it.
//
// Source: [PMC3944103] that half of the healthy come near it upright; rate halved and 40 mmHg lost within 60–90 s, [CHOICE-FAINT].
type Faint struct {
	After Span `json:"after_stop_s" yaml:"after_stop_s"` // s after the pedals stop
}

func (Faint) name() string { return "faint" }

func (f Faint) check() []string { return inside(nil, "after_stop_s", f.After, 5, 180) }

func (f Faint) start(_ Traits, r *rand.Rand) mechanism { return &faint{onset: f.After.draw(r)} }

type faint struct {
	healthy
	onset  float64
	hard   bool // the legs have worked hard enough
	cooled int  // s of light pedalling since
	still  float64
	level  float64 // 0 well … 1 gone

	lostHR, lostSBP float64 // bpm, mmHg below what there would be
}

// hardEffort is the fraction of VO2 reserve above which blood can pool later, coolS the cool-down that prevents it; pooling is
// 1 − exp(−1/22), relief 1 − exp(−1/18). Source: [CHOICE-FAINT].
const (
	hardEffort       = 0.35
	coolS            = 120
	pooling, relief  = 0.044436963731715795, 0.05404053109323459
	faintBpmOf       = 0.45 // of the rate
	faintMmHg        = 44
	faintLeastHR     = 44 // bpm
	faintUprightRest = 420
)

func (f *faint) after(b *Body) {
	pedalling := b.last.Pedalling && !b.stopped
	switch {
	case pedalling && b.x >= hardEffort:
		f.hard, f.cooled, f.still = true, 0, 0
	case pedalling:
		f.still = 0
		f.cooled++
	case f.hard && f.cooled < coolS:
		f.still++
	}
	down := f.still > f.onset && f.still < faintUprightRest && b.last.Posture != Lying && !pedalling
	if down {
		f.level += float64((1 - f.level) * pooling)
	} else {
		f.level -= float64(f.level * relief)
	}
	hr, sbp := float64(faintBpmOf*f.level*(b.hr+f.lostHR)), float64(faintMmHg*f.level)
	hr = min(hr, max(0, b.hr+f.lostHR-faintLeastHR))
	// What is lost is lost at once; the slow return of a healthy body goes on underneath.
	b.aim -= hr - f.lostHR
	b.hr -= hr - f.lostHR
	b.shift(f.lostSBP-sbp, float64(0.4*(f.lostSBP-sbp)))
	f.lostHR, f.lostSBP = hr, sbp
}

func (f *faint) heart(_ *Body, bpm float64) float64 { return bpm - f.lostHR }

func (f *faint) pressure(_ *Body, sbp, dbp float64) (float64, float64) {
	return sbp - f.lostSBP, dbp - float64(0.4*f.lostSBP)
}

func (f *faint) symptoms(_ *Body, dst []Symptom) []Symptom {
	switch {
	case f.level >= 0.85:
		return append(dst, Symptom{Pallor, 3, Seen}, Symptom{ColdSweat, 3, Seen}, Symptom{Lightheaded, 4, Found}, Symptom{Lightheaded, 4, Unasked})
	case f.level >= 0.6:
		return append(dst, Symptom{Pallor, 2, Seen}, Symptom{ColdSweat, 2, Seen}, Symptom{Lightheaded, 3, Found}, Symptom{Lightheaded, 3, Unasked}, Symptom{Nausea, 2, Found})
	case f.level >= 0.35:
		return append(dst, Symptom{Pallor, 1, Seen}, Symptom{Lightheaded, 2, Found}, Symptom{Lightheaded, 2, Seen})
	case f.level >= 0.15:
		return append(dst, Symptom{Lightheaded, 1, Found}, Symptom{Lightheaded, 1, Seen})
	}
	return dst
}
