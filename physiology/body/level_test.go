package body

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Asking for the level changes nothing: a body that is asked every second goes through the same states as one that never is.
func TestLevelChangesNothing(t *testing.T) {
	traits := DrawTraits(rand.New(rand.NewPCG(4, 4)), Who{AgeLow: 30, AgeHigh: 30})
	fresh := func() *Body {
		return New(traits, DrawDay(rand.New(rand.NewPCG(5, 5)), nil), nil, rand.New(rand.NewPCG(6, 6)), rand.New(rand.NewPCG(7, 7)))
	}
	asked, left := fresh(), fresh()
	for s := range 1200 {
		set := Setting{Posture: OnCycle, Pedalling: s > 60, Metronome: 50}
		if s > 180 {
			set.Resistance = 1.5
		}
		asked.Step(set)
		left.Step(set)
		asked.Level()
		if asked.Now() != left.Now() {
			t.Fatalf("second %d: %+v, not asked %+v", s+1, asked.Now(), left.Now())
		}
	}
}

// At constant work the rate comes to its level, whose bend is that of the person: 4·c·x·(1 − x) of the reserve. Without bend and day the straight
// level is the identity of the reserves. Source: [SWAIN1997].
func TestLevelIsWhereTheRateSettles(t *testing.T) {
	for seed := range uint64(20) {
		traits := DrawTraits(rand.New(rand.NewPCG(seed, 1)), Who{AgeLow: 20, AgeHigh: 60})
		traits.DriftExtra, traits.Threshold, traits.CadenceSD, traits.CadenceOffset = -9, 1, 0, 0
		b := New(traits, Day{}, nil, rand.New(rand.NewPCG(seed, 2)), rand.New(rand.NewPCG(seed, 3)))
		for range 1500 {
			b.Step(Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: 1})
		}
		if off := b.aim + b.fast + b.late - float64(b.Level().Settled); math.Abs(off) > 1e-3 && b.hr < float64(traits.TrueMaxHR) {
			t.Errorf("seed %d: apart from its wander the rate stands %.4f bpm from its level after 25 min", seed, off)
		}
		x, reserve := b.Now().Demand, float64(traits.TrueMaxHR-traits.RestHR)
		straight := float64(traits.RestHR) + reserve*x
		if x < 1 && (math.Abs(float64(b.Level().Straight)-straight) > 1e-6 || math.Abs(float64(b.Level().Settled)-straight-reserve*4*traits.Bend*x*(1-x)) > 1e-6) {
			t.Errorf("seed %d: level %.3f, straight %.3f, want %.3f without bend", seed, b.Level().Settled, b.Level().Straight, straight)
		}
	}
}
