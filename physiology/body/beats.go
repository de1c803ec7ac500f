package body

import (
	"math"
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

func sqrt(x float64) float64 { return math.Sqrt(x) }

// halving is ln 2 / 20: the beat-to-beat spread halves for every 20 bpm. Source: [MONGIN2022].
const halving = 0.034657359027997264

// neckTakes is the part of a reflex of the neck that comes, or goes, in a second. Source: [CHOICE-NECK].
const neckTakes = 0.3

// beat places the beats of this second by integrating the rate, each interval lengthened or shortened by breathing and by chance, and gives each
// its own pressures.
//
// Source: [NUNAN2010] spread at rest; [MONGIN2022] its fall with rate; [HONZIKOVA2003] and [CLINHYPERT2017] waves of pressure.
func (b *Body) beat() {
	b.beats = b.beats[:0]
	b.neck += float64((float64(b.last.Neck) - b.neck) * neckTakes)
	hr := b.hr - b.neck // what the fingers feel; the heart's own rate stays what it would be without them
	perS := hr / 60
	b.mean = 60000 / hr
	wave := 0.22 + float64(0.25*b.x) // breaths a second
	start := b.phase
	for b.phase = start + perS; b.phase >= b.due; {
		into := (b.due - start) / perS // seconds into this one
		into = clip(into, 0, 0.999)
		breath := sine(b.breath + float64(wave*into))
		b.add(into, breath)
		start -= b.due
		b.phase -= b.due
		b.next = coming{strength: 1}
		b.due = b.interval(breath)
	}
	b.breath += wave
	b.breath -= math.Floor(b.breath)
	b.slow10 += 0.1
	b.slow10 -= math.Floor(b.slow10)
}

// A coming is the beat after the one just placed, as mechanisms may change it.
type coming struct {
	long     float64 // the interval before it, as a fraction of the mean one
	strength float64 // 0 to 1: how plainly a finger feels it
	systolic float64 // mmHg, added to this beat's systolic pressure alone
}

// interval is the length of the next interval as a fraction of the mean one.
func (b *Body) interval(breath float64) float64 {
	u := gridEven(b.noise.NormFloat64())
	dev := float64(b.sd * (float64(breathSway*breath) + float64(tenSway*sine(b.slow10)) + float64(chanceSway*u)))
	b.next.long = 1 + dev/b.mean
	for _, m := range b.ills {
		m.coming(b, &b.next)
	}
	return clip(b.next.long, 0.45, 2.2)
}

// spread is the SD of beat intervals over some minutes, in ms, at 70 bpm. Source: [NUNAN2010] 50 ms, with 42 from one to the next; [HEART-HRV] 49,
// 37 and 37 ms at 40, 50 and 60.
func spread(age unit.Age) float64 { return float64(54 * exp(-float64(0.02*(float64(age)-35)))) }

// The parts of that SD: breathing and the ten-second wave of the pressure, both as amplitudes of a sine, chance from one beat to the next, and the
// slow wander of the rate. Source: [HEART-HRV] powers of the bands; [CHOICE-SPREAD] the rest.
const (
	breathSway = 0.65
	tenSway    = 0.55
	chanceSway = 0.26
	slowSway   = 0.76
)

// sway sets the SD of beat intervals for a heart rate, and returns by how many bpm the rate wanders. Of the intervals 5 ms are left in the hardest work,
// since breathing goes on pulling at the heart; of the wander, which the nerve that slows the heart carries more than the rest, 1.5 ms.
// Source: [MONGIN2022]; the wander's own fall and what is left [CHOICE-SPREAD].
func (b *Body) sway(hr float64) float64 {
	above := halving * (hr - 70)
	b.sd = least(float64(b.spread*exp(-above)), 5)
	slow := least(float64(slowSway*b.spread*exp(-float64(wanderFall*above))), 1.5)
	return slow * hr / 60000 * hr
}

// wanderFall is how much faster than the rest of the spread the slow wander falls with the rate. Source: [CHOICE-SPREAD].
const wanderFall = 1.4

// add places one beat, into seconds after the start of this second.
func (b *Body) add(into, breath float64) {
	u := gridEven(b.noise.NormFloat64())
	wave := float64(3.0*breath) + float64(2.5*sine(b.slow10+float64(0.1*into))) + float64(1.5*u)
	at := time.Duration(b.second-1)*time.Second + time.Duration(math.RoundToEven(into*1000))*time.Millisecond
	b.beats = append(b.beats, instrument.Beat{
		At:        at,
		Systolic:  unit.Pressure(round1(b.sbp + b.next.systolic + wave)),
		Diastolic: unit.Pressure(round1(b.dbp + float64(0.5*wave))),
		Strength:  b.next.strength,
	})
}

// round1 rounds a pressure to a tenth: what crosses to the instruments is a printed number.
func round1(x float64) float64 { return math.RoundToEven(x*10) / 10 }
