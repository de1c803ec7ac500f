package body

import "math/rand/v2"

// Claudication is pain in one leg, of muscle that gets too little blood for its work. It comes a minute or more after the load passes one of
// the person's own, the sooner the higher the load; as long again, and nobody goes on. At rest it is gone within minutes, the same after light
// work and after heavy.
//
// Source: [GARDNER1993] onset after 191 s at the lightest of five loads and 112 s at the heaviest, most that can be borne after 394 and
// 200 s, and 340–398 s of rest until it has gone, whatever the load.
type Claudication struct {
	Onset Span `json:"onset_work_rate_kgm_min" yaml:"onset_work_rate_kgm_min"` // kg·m/min
}

func (Claudication) name() string { return "claudication" }

func (c Claudication) check() []string {
	return inside(nil, "onset_work_rate_kgm_min", c.Onset, 100, 1500)
}

func (c Claudication) start(_ Traits, r *rand.Rand) mechanism {
	return &claudication{onset: c.Onset.draw(r)}
}

type claudication struct {
	healthy
	onset float64 // kg·m/min
	owed  float64 // of the blood that the muscle lacks: pain begins at 1, and nothing is left to go on with at 2
}

// legPainS is how long the onset's own load takes to hurt; legEase is exp(−1/530), so that the most is gone in 367 s, legEaseLight
// exp(−1/1060) for light pedalling. Source: [GARDNER1993]; half as fast under light work [CHOICE-MECHANISMS].
const (
	legPainS     = 190
	legEase      = 0.9981149864210853
	legEaseLight = 0.9990570486319014
	legGrade     = 0.9 // of pain: grade 4 comes shortly before the legs stop, and stays for half a minute
)

func (c *claudication) after(b *Body) {
	load := float64(b.asked()) / c.onset
	switch {
	case !b.working():
		c.owed = float64(c.owed * legEase)
	case load < 1:
		c.owed = float64(c.owed * legEaseLight)
	default:
		c.owed = clip(c.owed+clip(load, 1, 2)/legPainS, 0, 2)
		b.stopped = b.stopped || c.owed >= 2
	}
}

// pain is 0 at its onset and 3 when it cannot be borne.
func (c *claudication) pain() float64 { return float64(3 * least(c.owed-1, 0)) }

func (c *claudication) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(7*least(c.pain()-2, 0))
}

func (c *claudication) effort(_ *Body, rating float64) float64 { return rating + float64(c.pain()) }

func (c *claudication) symptoms(_ *Body, dst []Symptom) []Symptom {
	if c.owed < 1 {
		return dst
	}
	return spoken(LegPain, 1+int(c.pain()/legGrade), dst)
}

// Knee is a joint that begins to hurt above a load of the person's own, the sooner the higher the load, and takes the rhythm with it, in the
// end the legs. No published course of such pain on a cycle was found: its growth is common practice.
//
// Source: [PRACTICE-KNEE], [OPHEY2024] how long it stays.
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

// after: at the onset grade 1 after 50 s, then a grade for each further 75 s. Source: [PRACTICE-KNEE].
func (k *knee) after(b *Body) {
	load := float64(b.asked()) / k.onset
	switch {
	case !b.working() || load < 1:
		k.pain.rest()
		return
	case k.pain.level < 1:
		k.pain.grow(clip(load, 1, 2) / 50)
	default:
		k.pain.grow(clip(load, 1, 2) / 75)
	}
	b.stopped = b.stopped || k.pain.level >= 4
}

// kneeEarly is how much before its full level a grade is said. Source: [CHOICE-SIGNS].
const kneeEarly = 0.15

func (k *knee) cadence(_ *Body, rpm float64) float64 {
	return rpm - float64(4*least(k.pain.level-2, 0))
}

func (k *knee) effort(_ *Body, rating float64) float64 { return rating + float64(0.4*k.pain.level) }

func (k *knee) symptoms(_ *Body, dst []Symptom) []Symptom {
	return spoken(KneePain, int(k.pain.level+kneeEarly), dst) // grade 4 is met before the legs stop, and stays for a while
}
