package body

import "math/rand/v2"

// Claudication is pain in one leg that comes a minute or so after work passes a rate of the person's own, grows while it lasts, and goes
// within minutes of rest. Source: [CHOICE-MECHANISMS].
type Claudication struct {
	Onset Span   `json:"onset_work_rate_kgm_min" yaml:"onset_work_rate_kgm_min"` // kg·m/min
	Side  string `json:"side" yaml:"side"`                                       // left or right
}

func (Claudication) name() string { return "claudication" }

func (c Claudication) check() []string {
	faults := inside(nil, "onset_work_rate_kgm_min", c.Onset, 100, 1500)
	if c.Side != "left" && c.Side != "right" {
		faults = append(faults, "side: left or right")
	}
	return faults
}

func (c Claudication) start(_ Traits, r *rand.Rand) mechanism {
	return &claudication{onset: c.Onset.draw(r), pain: ache{ease: easeMin}}
}

type claudication struct {
	healthy
	onset float64
	pain  ache
}

// after: grade 1 after 70 s at the onset, sooner above it, then a grade for each further 70 s. Source: [CHOICE-MECHANISMS].
func (c *claudication) after(b *Body) {
	if b.working() && float64(b.work) >= c.onset-15 { // the cadence wanders by this much about the table's rate
		c.pain.grow(min(float64(b.work)/c.onset, 2) / 70)
		return
	}
	c.pain.rest()
}

func (c *claudication) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(7*max(0, c.pain.level-3))
}

func (c *claudication) effort(_ *Body, rating float64) float64 {
	return rating + float64(0.8*c.pain.level)
}

func (c *claudication) symptoms(_ *Body, dst []Symptom) []Symptom {
	return c.pain.spoken(LegPain, dst)
}

// Knee is a joint that begins to hurt above a work rate of the person's own and takes the rhythm with it. Source: [CHOICE-MECHANISMS].
type Knee struct {
	Onset Span `json:"onset_work_rate_kgm_min" yaml:"onset_work_rate_kgm_min"` // kg·m/min
}

func (Knee) name() string { return "knee" }

func (k Knee) check() []string { return inside(nil, "onset_work_rate_kgm_min", k.Onset, 100, 1500) }

func (k Knee) start(_ Traits, r *rand.Rand) mechanism {
	return &knee{onset: k.Onset.draw(r), pain: ache{ease: easeSlow}}
}

type knee struct {
	healthy
	onset float64
	pain  ache
}

// after: grade 1 after 50 s at the onset, then a grade for each further 75 s. Source: [CHOICE-MECHANISMS].
func (k *knee) after(b *Body) {
	switch {
	case !b.working() || float64(b.work) < k.onset-15:
		k.pain.rest()
	case k.pain.level < 1:
		k.pain.grow(1.0 / 50)
	default:
		k.pain.grow(1.0 / 75)
	}
}

func (k *knee) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(4*max(0, k.pain.level-2))
}

func (k *knee) effort(_ *Body, rating float64) float64 { return rating + float64(0.4*k.pain.level) }

func (k *knee) symptoms(_ *Body, dst []Symptom) []Symptom { return k.pain.spoken(KneePain, dst) }
