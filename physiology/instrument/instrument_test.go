package instrument

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"kilopond/physiology/unit"
)

func gen(a, b uint64) *rand.Rand { return rand.New(rand.NewPCG(a, b)) }

// metronomic beats of a rate from a phase in seconds, one second at a time.
type heart struct {
	every, next float64
	sys, dia    unit.Pressure
}

func (h *heart) second(n int) []Beat {
	var out []Beat
	for ; h.next < float64(n+1); h.next += h.every {
		out = append(out, Beat{At: time.Duration(h.next * float64(time.Second)), Systolic: h.sys, Diastolic: h.dia, Strength: 1})
	}
	return out
}

// Counting error with perfect beats and random phase: mean absolute error k/3, SD k/√6, for steps of k = 60/T bpm. Exact arithmetic; rates are
// spread evenly so that no rate is favoured. Source: [DERIVED-COUNTING].
func TestCountingErrorIsThatOfTheWindow(t *testing.T) {
	for _, c := range []struct {
		seconds int
		mae     float64
	}{{10, 2.00}, {15, 1.33}, {30, 0.67}} {
		r := gen(uint64(c.seconds), 7)
		var sum, sq float64
		const n = 40000
		for range n {
			hr := 90 + 70*r.Float64()
			every := 60 / hr
			first := every * r.Float64()
			beats := 0
			for at := first; at < float64(c.seconds); at += every {
				beats++
			}
			off := float64(beats)*60/float64(c.seconds) - hr
			sum, sq = sum+math.Abs(off), sq+off*off
		}
		k := 60 / float64(c.seconds)
		if mae := sum / n; math.Abs(mae-c.mae) > 0.03 {
			t.Errorf("%d s: mean absolute error %.3f bpm, want %.2f", c.seconds, mae, c.mae)
		}
		if sd := math.Sqrt(sq / n); math.Abs(sd-k/math.Sqrt(6)) > 0.03 {
			t.Errorf("%d s: SD %.3f bpm, want %.2f", c.seconds, sd, k/math.Sqrt(6))
		}
	}
}

// The same through the fingers themselves: what they feel of perfect beats is those beats, but for the few that anybody misses.
func TestFingersFeelTheBeatsInTheWindow(t *testing.T) {
	missed, all := 0, 0
	for seed := range uint64(400) {
		h := heart{every: 0.5, next: 0.13, sys: 120, dia: 80}
		f := NewFingers(gen(seed, 1), Radial, 0, false)
		for s := range 15 {
			f.Feel(h.second(s))
		}
		all += 30
		missed += 30 - len(f.Tenths())
		for i, x := range f.Tenths() {
			if x < 0 || x >= 150 || i > 0 && x <= f.Tenths()[i-1] {
				t.Fatalf("beats at %v", f.Tenths())
			}
		}
	}
	if share := float64(missed) / float64(all); share < 0.002 || share > 0.009 {
		t.Errorf("%.4f of the beats were missed at rest, want about 0.005", share)
	}
	weak := NewFingers(gen(1, 1), Carotid, 0, false)
	weak.Feel([]Beat{{At: time.Millisecond, Strength: 0}})
	if len(weak.Tenths()) != 0 {
		t.Error("a beat of no strength was felt")
	}
}

// take lets one cuff down on a regular heart and returns what a careful listener reads.
func take(seed uint64, pump unit.Pressure, valve float64, hr float64, noisy bool, used CuffSize, arm unit.Girth) (*Cuff, Sounds) {
	r := gen(seed, 2)
	h := heart{every: 60 / hr, next: r.Float64() * 60 / hr, sys: 150.5, dia: 80.5}
	c := NewCuff(r, pump, valve, 0, noisy, used, arm)
	for s := range 400 {
		if c.Second(h.second(s)) {
			break
		}
	}
	return c, ReadSounds(c.Top(), valve, c.Heard())
}

// A valve opened wide reads systolic low by half of what the cuff falls between two beats, on average. Source: [ZHENG2011] the direction,
// the size by arithmetic.
func TestFastValveReadsSystolicLow(t *testing.T) {
	for _, c := range []struct{ valve, hr float64 }{{3, 60}, {10, 60}, {10, 120}} {
		var low float64
		const n = 3000
		for seed := range uint64(n) {
			_, s := take(seed, 190, c.valve, c.hr, false, Adult, 30)
			if s.HeardAtOnce || !s.Any {
				t.Fatalf("seed %d: %+v", seed, s)
			}
			low += (150.5 - float64(s.Systolic)) / n
		}
		want := c.valve * 60 / c.hr / 2
		t.Logf("valve %v mmHg/s at %v bpm: %.2f mmHg low, by arithmetic %.2f and half a mark of reading", c.valve, c.hr, low, want)
		if low < want-0.3 || low > want+1.6 {
			t.Errorf("valve %v at %v bpm reads %.2f low, want %.2f to %.2f", c.valve, c.hr, low, want, want+1)
		}
	}
}

func TestCuffPumpedTooLittleHearsAtOnce(t *testing.T) {
	c, s := take(1, 130, 3, 70, false, Adult, 30)
	if !s.HeardAtOnce {
		t.Errorf("pumped to %d below a systolic of 150: %+v %s", c.Top(), s, c.Heard())
	}
	_, none := take(1, 60, 3, 70, false, Adult, 30)
	if none.Any {
		t.Errorf("pumped below the diastolic: %+v", none)
	}
}

func TestWrongCuffReadsWrong(t *testing.T) {
	_, right := take(3, 200, 2, 80, false, LargeAdult, 36)
	_, small := take(3, 200, 2, 80, false, Adult, 36)
	if d := small.Systolic - right.Systolic; d < 3 || d > 7 {
		t.Errorf("one size too small reads %v higher, want about 5 [ISHIGAMI2023]", d)
	}
	for _, c := range []struct {
		arm  unit.Girth
		size CuffSize
	}{{24, SmallAdult}, {27, Adult}, {34, Adult}, {35, LargeAdult}, {45, Thigh}, {60, Thigh}} {
		if got := FittingCuff(c.arm); got != c.size {
			t.Errorf("arm of %v cm: %s, want %s", c.arm, got, c.size)
		}
	}
}

func TestReadSounds(t *testing.T) {
	for _, c := range []struct {
		heard              string
		systolic, diastole unit.Pressure
		atOnce, any        bool
	}{
		{"..t.t.td..", 194, 184, false, true},
		{"..c.t.t...", 190, 186, false, true},
		{"t.t.......", 198, 194, true, true},
		{"..........", 0, 0, false, false},
		{"c.c.c.....", 0, 0, false, false},
		{"..t.......t.t.", 178, 174, false, true}, // the first stands alone: not one of two
	} {
		s := ReadSounds(200, 3, c.heard)
		if s.Systolic != c.systolic || s.Diastolic != c.diastole || s.HeardAtOnce != c.atOnce || s.Any != c.any {
			t.Errorf("%q: %+v, want %v/%v", c.heard, s, c.systolic, c.diastole)
		}
	}
}
