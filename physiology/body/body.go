package body

import (
	"math/rand/v2"
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A Body is one person on one day. Its zero value is not usable; see New. One goroutine at a time.
type Body struct {
	traits Traits
	day    Day
	ills   []mechanism
	noise  *rand.Rand

	second   int
	last     Setting
	mood     float64 // ratings of exertion about the person's own line
	recalled float64 // how much of an effort is still felt, 0.6 to 1
	neck     float64 // bpm by which fingers on the neck slow the heart now
	sinceS   int     // since the setting last changed
	workS    int     // since the present work began
	cadence  float64 // rpm, real
	wander   float64 // SDs of cadence
	drifted  float64 // rpm lost to tiredness
	stopped  bool    // the person has stopped pedalling of their own accord
	halted   bool    // and had in the second before
	wearyS   int     // s since asking for the load to come off, which it has not

	work   unit.WorkRate
	watts  float64
	demand float64 // fraction of VO2 reserve that the work asks for; above 1 it cannot be met
	x      float64 // the same, at most 1
	vo2    float64 // mL/min
	slow   float64 // what is left of the slow component's exponential
	debt   float64 // mL of oxygen owed above what can be kept up

	debtMost float64 // mL

	level           float64 // bpm: where the rate would settle
	aim, fast, late float64 // bpm: the level as far as it has been reached, and the two parts of recovery above it
	drift           float64 // bpm
	hrWander        float64 // SDs, over a quarter of a minute
	hr              float64
	calm            float64 // 1 on arrival, less after quiet sitting
	headroom        float64 // bpm above the own maximum that a rhythm without order may reach

	sbp, dbp          float64 // mmHg
	systole, diastole float64 // mmHg, before their wander
	pressureWander    float64 // SDs, over minutes

	hrKeep, vo2Keep, fastKeep, sbpOffKeep float64 // shares of a distance left after a second

	phase, due     float64 // of the beat to come, in beats
	next           coming
	spread         float64 // ms: SD of the intervals at 70 bpm
	mean, sd       float64 // ms: the interval of this second's rate, and the spread about it
	breath, slow10 float64 // turns of breathing and of the ten-second wave
	beats          []instrument.Beat
	symptoms       []Symptom
}

// A State is the truth of one second.
type State struct {
	T        time.Duration
	WorkRate unit.WorkRate
	Cadence  unit.Cadence
	VO2      unit.VO2
	HR       unit.HR
	SBP, DBP unit.Pressure
	Demand   float64 // fraction of VO2 reserve asked for by the work
	Exertion float64 // before rounding to the scale
	Stopped  bool    // the person has stopped pedalling of their own accord
}

// New returns a body at second 0, seated on a chair. The generator ill draws the values of what is wrong, noise every later draw.
func New(t Traits, d Day, ills []Ill, ill, noise *rand.Rand) *Body {
	b := &Body{}
	b.Reset(t, d, ills, ill, noise)
	return b
}

// manySymptoms and manyBeats are more than one second of one person brings, so that nothing grows later.
const manySymptoms, manyBeats = 24, 8

// Reset makes b the body that New would return, keeping its buffers.
func (b *Body) Reset(t Traits, d Day, ills []Ill, ill, noise *rand.Rand) {
	*b = Body{traits: t, day: d, noise: noise, beats: b.beats[:0], symptoms: b.symptoms[:0], ills: b.ills[:0]}
	for _, i := range ills {
		b.ills = append(b.ills, i.mechanism(t, ill))
	}
	if cap(b.symptoms) < manySymptoms {
		b.symptoms = make([]Symptom, 0, manySymptoms)
		b.beats = make([]instrument.Beat, 0, manyBeats)
	}
	b.last = Setting{Posture: Chair}
	b.calm = 1
	b.slow = 1
	b.recalled = 1
	b.due = 1
	b.next.strength = 1
	b.breath = noise.Float64()
	b.slow10 = noise.Float64()
	b.vo2 = float64(t.VO2Rest)
	b.debtMost = t.debtMost()
	b.spread = float64(spread(t.Age) * t.Sway)
	b.fastKeep = decay(t.RecoveryTau)
	b.sbpOffKeep = decay(t.SBPOffTau)
	b.tune()
	b.aim = b.steadyHR()
	b.hr = b.aim
	b.systole, b.diastole = b.steadySBP(), b.steadyDBP()
	b.sbp, b.dbp = b.systole, b.diastole
}

// Step advances the body by one second under the setting and returns the beats of that second, which are overwritten by the next call.
func (b *Body) Step(s Setting) []instrument.Beat {
	b.second++
	b.sinceS++
	changed := s.Resistance != b.last.Resistance || s.Pedalling != b.last.Pedalling || s.Posture != b.last.Posture || b.stopped != b.halted
	b.halted = b.stopped
	if changed {
		b.sinceS = 0
	}
	b.turn(s)
	before := b.demand
	b.breathe(s)
	if changed {
		b.tune()
		if b.demand < before-0.02 || (!s.Pedalling && b.last.Pedalling) {
			b.split(s.Pedalling && !b.stopped)
		}
	}
	b.last = s
	b.rate(s)
	b.press(s)
	for _, m := range b.ills {
		m.after(b)
	}
	b.beat()
	return b.beats
}

// rhythmKeep is exp(−1/3): the legs find a new rhythm in about 3 s. Source: [CHOICE-CADENCE].
const rhythmKeep = 0.7165313105737893

// turn moves the pedals: about the metronome with the person's own wander, lower as the work becomes more than can be kept up.
func (b *Body) turn(s Setting) {
	t := &b.traits
	if !s.Pedalling || b.stopped || s.Posture != OnCycle {
		if !s.Pedalling {
			b.stopped = false
		}
		b.cadence = least(float64(b.cadence*0.5)-1, 0)
		b.work, b.watts = 0, 0 // a flywheel that runs out asks nothing of the legs
		return
	}
	b.wander = float64(0.88*b.wander) + float64(0.47*gridEven(b.noise.NormFloat64())) // SD 1, forgotten in about 8 s
	aim, sd := float64(s.Metronome)+t.CadenceOffset, t.CadenceSD
	if s.Metronome == 0 {
		aim, sd = t.OwnCadence, 3*t.CadenceSD
	}
	if b.wearyS++; !b.asking() {
		b.wearyS = 0
	}
	b.stopped = b.stopped || b.strain() > 0.95 || b.wearyS > patienceS
	over := least(b.demand-1, 0)
	b.drifted += float64((float64(16*over) + float64(40*least(b.strain()-0.5, 0)) - b.drifted) * 0.1)
	aim -= b.drifted
	for _, m := range b.ills {
		aim = m.cadence(b, aim)
	}
	aim = least(aim+float64(sd*b.wander), 0)
	b.cadence += float64((aim - b.cadence) * (1 - rhythmKeep))
	b.work = s.Resistance.WorkRate(unit.Cadence(b.cadence))
	b.watts = b.work.Watts()
}

// breathe asks for oxygen and takes it up.
//
// Source: [HANSEN1987] cost of a watt; [BUSHMAN2020] unloaded pedalling; [FAWKNER2004] slow component; [CHOICE-DEBT] what can be owed.
func (b *Body) breathe(s Setting) {
	t := &b.traits
	rest, most := float64(t.VO2Rest), float64(t.VO2Max)
	ask := rest
	if b.cadence > 5 && s.Pedalling {
		b.workS++
		ask += float64(float64(t.UnloadedCost)*b.cadence/50) + float64(t.O2Cost*b.watts)
		if above := ask - float64(t.Threshold*most); above > 0 && b.sinceS > 110 {
			b.slow = float64(b.slow * slowKeep)
			ask += float64(0.20 * above * (1 - b.slow))
		}
	} else {
		b.workS = 0
	}
	if b.sinceS == 0 {
		b.slow = 1
	}
	for _, m := range b.ills {
		ask = m.oxygen(b, ask)
	}
	b.demand = (ask - rest) / (most - rest)
	b.x = clip(b.demand, 0, 1)
	owed := float64((ask - float64(t.Sustainable()*most)) / 60) // mL each second above what can be kept up; paid back below it
	ask = min(ask, most)
	b.vo2 = ask + float64((b.vo2-ask)*b.vo2Keep)
	if owed < 0 {
		owed = float64(owed * 0.3)
	}
	b.debt = least(b.debt+owed, 0)
}

// slowKeep is exp(−1/200): the slow component's rise.
const slowKeep = 0.9950124791926823

// strain is the share of the largest oxygen debt that is owed, from 0 to 1 or beyond.
func (b *Body) strain() float64 { return b.debt / b.debtMost }

// asking says whether the person has had all they can bear of a load that cannot be kept up: two thirds of the debt and more are owed, and the dial still
// asks for more. Source: [LAURSEN2003] 237 ± 57 s at the work rate of VO2max until nothing is left; [CHOICE-DEBT].
func (b *Body) asking() bool {
	t := &b.traits
	dial := float64(t.VO2Rest+t.UnloadedCost) + float64(t.O2Cost*b.asked().Watts())
	return b.strain() > 0.7 && dial > float64(t.Sustainable()*float64(t.VO2Max))
}

// tune sets the time constants for the work now asked for.
func (b *Body) tune() {
	b.hrKeep = decay(b.traits.HRTau(b.x))
	b.vo2Keep = decay(b.traits.VO2Tau)
}

// steadyHR is where the heart rate would settle at the work of this second.
//
// Source: [SWAIN1997] identity of the reserves; [BIRNBAUMER2020] bend; [SYKES1976] day's shift; [RESTHR2015] apprehension.
func (b *Body) steadyHR() float64 {
	t, d := &b.traits, &b.day
	x := b.x
	c := t.Bend + d.BendShift
	h := x + float64(float64(4*c*x)*(1-x))
	x2 := float64(x * x)
	rest := float64(t.RestHR)
	away := 1 - x
	x4 := float64(x2 * x2)
	hr := rest + float64((float64(t.TrueMaxHR)-rest)*h) + float64(b.drift*(1-float64(x4*x4)))
	hr += float64(d.HRShift * min(1, x/0.15) * (1 - x4))
	hr += float64(d.Nerves * b.calm * away * away)
	return min(hr, float64(t.TrueMaxHR))
}

// rate moves the heart rate towards its level: one exponential up, two down.
//
// Source: [HUNT2019] on-kinetics; [TESO2025] drift; [SCIREP2021] recovery; [CHOICE-CALM] how nerves settle.
func (b *Body) rate(s Setting) {
	t := &b.traits
	target := 1.0 // nerves: all of them on the cycle, two fifths after quiet sitting
	if s.Posture == Chair || s.Posture == Lying {
		target = 0.4
	}
	b.calm += float64((target - b.calm) * 0.008)
	if b.watts > 0 {
		rcp := float64(100 * b.vo2 / float64(0.8*float64(t.VO2Max)))
		slope := -0.0514 + float64(0.0240*rcp) - float64(0.0172*float64(t.Age))
		if t.Sex == unit.Female {
			slope -= 0.347
		}
		b.drift += float64(0.5*least(slope+t.DriftExtra, 0)/60) - b.drift/1500
	} else {
		b.drift -= b.drift / 300
	}
	level := b.steadyHR()
	if s.Posture == Standing && !s.Pedalling {
		level += 8 // Source: [CHOICE-POSTURE].
	}
	if s.Posture == Lying {
		level -= 5 // Source: [CHOICE-POSTURE].
	}
	level = b.ailing(level)
	b.level = level
	b.aim = level + float64((b.aim-level)*b.hrKeep)
	b.fast = float64(b.fast * b.fastKeep)
	b.late = float64(b.late * lateKeep)
	u := gridEven(b.noise.NormFloat64())
	b.hrWander = float64(wanderKeep*b.hrWander) + float64(0.3533*u) // SD 1
	b.pressureWander = float64(minuteKeep*b.pressureWander) + float64(0.18106*u)
	b.ponder(u)
	hr := b.aim + b.fast + b.late
	hr += float64(b.sway(hr) * b.hrWander)
	b.hr = clip(hr, 30, float64(t.TrueMaxHR)+b.headroom)
}

// ailing is a level of the heart rate as the ills leave it. A fall is towards that level too: else the rate of those whom heat or fibrillation drives
// would climb when the load is taken off.
func (b *Body) ailing(level float64) float64 {
	for _, m := range b.ills {
		level = m.heart(b, level)
	}
	return level
}

// wanderKeep is exp(−1/15): the rate wanders over a quarter of a minute. Source: [CHOICE-SPREAD].
const wanderKeep = 0.9355069850316178

// lateKeep is exp(−1/700): the slow part of recovery. Source: [SCIREP2021].
const lateKeep = 0.9985724484938566

// split turns the distance above the new, lower level into the fast and the slow part of recovery. The lighter the work was, the larger and the
// faster the fast part; light pedalling keeps it slower.
//
// Source: [SCIREP2021] from near the maximum; [BARAK2011] from 147 bpm, sitting and pedalling; [CARDIA-HRR] two minutes after the maximum.
func (b *Body) split(pedalling bool) {
	t := &b.traits
	rest := float64(t.RestHR)
	h := (b.hr - rest) / (float64(t.TrueMaxHR) - rest)
	b.drift = 0 // what had crept in comes down with the rest
	level := b.ailing(b.steadyHR())
	over := b.aim + b.fast + b.late - level
	if over <= 0 {
		return
	}
	p := min(max(1.15-float64(0.80*h), 0.30), 0.85)
	tau := t.RecoveryTau * min(max(0.45+float64(0.60*h), 0.6), 1)
	if pedalling {
		tau *= 1.5
	}
	b.fastKeep = decay(tau)
	b.aim = level
	b.fast = float64(p * over)
	b.late = over - b.fast
}

// steadySBP and steadyDBP are where the pressures would settle at the work of this second.
//
// Source: [HEDMAN2020] slope on watts; [WIELEMBOREK2016] jump at the first work; [SYDO2018] diastolic; [CHOICE-PRESSURE].
func (b *Body) steadySBP() float64 {
	t, d := &b.traits, &b.day
	met := b.watts / least(b.demand, 1) // work beyond what the heart can serve raises no pressure
	up := float64(t.SBPSlope*met) + float64(t.SBPJump*(1-exp(-met/20)))
	return min(float64(t.RestSBP)+d.SBPShift+float64(float64(4*b.calm)*(1-b.x))+up, 300)
}

func (b *Body) steadyDBP() float64 {
	t := &b.traits
	return float64(t.RestDBP) + float64(0.5*b.day.SBPShift) + float64(t.DBPChange*b.x34())
}

// x34 is x to the power of three quarters by square roots, which are exact everywhere; the source's fit has 0.7.
func (b *Body) x34() float64 {
	r := sqrt(b.x)
	return float64(r * sqrt(r))
}

// press moves the pressures: 40 s up, slower down. Source: [FURTADO2009], [DIMKPA2009], [CHOICE-PRESSURE].
func (b *Body) press(s Setting) {
	up, down := b.steadySBP(), b.steadyDBP()
	if s.Posture == Standing && !s.Pedalling {
		up -= 4 // Source: [CHOICE-POSTURE].
	}
	for _, m := range b.ills {
		up, down = m.pressure(b, up, down)
	}
	keep := pressureKeep
	if up < b.systole-3 && (b.watts == 0 || b.fast > 0.5) {
		keep = b.sbpOffKeep
	}
	b.systole = up + float64((b.systole-up)*keep)
	b.diastole = down + float64((b.diastole-down)*pressureKeep)
	b.sbp = b.systole + float64(3.4*b.pressureWander)
	b.dbp = b.diastole + float64(2.9*b.pressureWander)
	if b.dbp > b.sbp-12 {
		b.dbp = b.sbp - 12
	}
}

// shift moves both pressures at once, past their time constants: for a mechanism that keeps time itself.
func (b *Body) shift(systolic, diastolic float64) {
	b.sbp += systolic
	b.systole += systolic
	b.dbp += diastolic
	b.diastole += diastolic
}

// minuteKeep is exp(−1/60): both pressures wander by 3 mmHg or so over a minute, so that the readings of one visit differ by as much as
// published; the same nerves move the rate, so one draw serves both. Source: [NHANES2012], [CHOICE-PRESSURE].
const minuteKeep = 0.9834714538216175

// pressureKeep is exp(−1/40).
const pressureKeep = 0.9753099120283326

// Now returns the truth of this second.
func (b *Body) Now() State {
	return State{
		T:        time.Duration(b.second) * time.Second,
		WorkRate: b.work, Cadence: unit.Cadence(b.cadence), VO2: unit.VO2(b.vo2), HR: unit.HR(b.hr),
		SBP: unit.Pressure(b.sbp), DBP: unit.Pressure(b.dbp),
		Demand: b.demand, Exertion: b.exertion(), Stopped: b.stopped,
	}
}

// Traits returns what the person is.
func (b *Body) Traits() Traits { return b.traits }
