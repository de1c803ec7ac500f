package body

import "math/rand/v2"

// Faint is a fall of rate and pressure in somebody who stands or sits still after hard legs: blood stays where the muscles no longer pump.
// Yawns and a pale face come first, then dizziness, then the fall. Each minute of light pedalling leaves less of it, and lying down ends it.
//
// Source: [PMC3944103] that half to four fifths of the healthy come near it upright; [MURRELL2011] after 6 ± 5 min; [KREDIET2004] on the
// cycle, sitting still; gone when laid down, and nothing of it when the legs go on moving; rate halved and 40 mmHg lost within 60–90 s,
// [CHOICE-FAINT].
type Faint struct {
	After Span `json:"after_stop_s" yaml:"after_stop_s"` // s after the pedals stop
}

func (Faint) name() string { return "faint" }

func (f Faint) check() []string { return inside(nil, "after_stop_s", f.After, 5, 180) }

// start: some go all the way, some only pale. Source: [PMC3944103] the share.
func (f Faint) start(_ Traits, r *rand.Rand) mechanism {
	return &faint{onset: f.After.draw(r), prone: uniform(r, 0.45, 1)}
}

type faint struct {
	healthy
	onset  float64 // s
	prone  float64 // how far this person goes, of all the way
	hard   float64 // 0 to 1: how hard the legs have worked
	cooled float64 // s of light pedalling, or of lying, since
	still  float64 // s upright without pedalling
	level  float64 // 0 well … 1 gone
	warned bool

	lostHR, lostSBP float64 // bpm, mmHg below what there would be
}

// hardFrom and hardFull are fractions of VO2 reserve between which the legs gather blood, lightLegs the part of that below which they send it back,
// coolS the cool-down that leaves none of it; filling is 1 − exp(−1/40), pooling 1 − exp(−1/22), relief 1 − exp(−1/18) by the legs, laid 1 − exp(−1/10) lying down, worn 1 − exp(−1/60) by itself in the end.
// Source: [CHOICE-FAINT].
const (
	hardFrom, hardFull = 0.25, 0.60
	lightLegs          = 0.6
	filling            = 0.024690087971667385
	coolS              = 180
	coolSlows          = 120 // s of light pedalling that put it off as long again
	pooling, relief    = 0.044436963731715795, 0.05404053109323459
	laid, worn         = 0.09516258196404048, 0.016528546178382457
	warnFrom           = 0.6 // of the time until it begins
	faintBpmOf         = 0.45
	faintMmHg          = 44
	faintLeastHR       = 44 // bpm
	faintUprightRest   = 900
	faintSlight        = 0.12 // below this nothing shows
)

func (f *faint) after(b *Body) {
	pedalling := b.last.Pedalling && !b.stopped
	effort := clip((b.x-hardFrom)/(hardFull-hardFrom), 0, 1)
	switch {
	case pedalling && effort > 0 && effort >= f.hard*lightLegs: // what was cooled is warm again
		f.still, f.cooled = 0, 0
		f.hard += float64(least(effort-f.hard, 0) * filling)
	case pedalling:
		f.still = 0
		f.cooled++
	case b.last.Posture == Lying:
		f.cooled++
	default:
		f.still++
		if b.last.Posture == Standing {
			f.still++ // upright legs hold more blood, and the chair no longer helps
		}
	}
	if f.hard == 0 || pedalling && f.level == 0 {
		f.warned = false
		return
	}
	left := 1 - clip(f.cooled/coolS, 0, 1)
	most := float64(f.prone * f.hard * left * left)
	begins := float64(f.onset * (1 + f.cooled/coolSlows))
	upright := !pedalling && b.last.Posture != Lying && f.still < faintUprightRest
	f.warned = upright && most > faintSlight && f.still > float64(warnFrom*begins)
	switch {
	case upright && f.still > begins && most > f.level:
		f.level += float64((most - f.level) * pooling)
	case pedalling:
		f.level -= float64(f.level * relief)
	case b.last.Posture == Lying:
		f.level -= float64(f.level * laid)
	case f.still >= faintUprightRest:
		f.level -= float64(f.level * worn)
	}
	if f.level < 1e-6 {
		f.level = 0
		if f.lostHR == 0 && f.lostSBP == 0 {
			return
		}
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

// symptoms: yawns and a pale face warn of it. Source: [DWP-FAINT]; when, and by how much is lost, [CHOICE-FAINT].
func (f *faint) symptoms(_ *Body, dst []Symptom) []Symptom {
	switch {
	case f.level >= 0.85:
		return append(dst, Symptom{Pallor, 3, Seen}, Symptom{ColdSweat, 3, Seen}, Symptom{Lightheaded, 4, Found}, Symptom{Lightheaded, 4, Unasked})
	case f.level >= 0.6:
		return append(dst, Symptom{Pallor, 2, Seen}, Symptom{ColdSweat, 2, Seen}, Symptom{Lightheaded, 3, Found}, Symptom{Lightheaded, 3, Unasked}, Symptom{Nausea, 2, Found})
	case f.level >= 0.35:
		return append(dst, Symptom{Pallor, 1, Seen}, Symptom{Lightheaded, 2, Found}, Symptom{Lightheaded, 2, Seen})
	case f.level >= faintSlight || f.warned:
		return append(dst, Symptom{Pallor, 1, Seen}, Symptom{Lightheaded, 1, Found}, Symptom{Lightheaded, 1, Seen})
	}
	return dst
}
