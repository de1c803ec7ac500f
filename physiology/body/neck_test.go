package body

import (
	"math"
	"testing"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// Fingers that press on the neck slow the beats by as much as the person's reflex gives, and never the rate that the heart would have without
// them; 0 to 4 bpm in a few people is common practice, and 42 exercisers showed none. Source: [PRACTICE-NECK], [CAROTID42].
func TestAPressOnTheNeckSlowsTheBeats(t *testing.T) {
	beats := func(slows float64) (n int, level float64) {
		var d Day
		traits := DrawTraits(stream(5, "traits"), Who{AgeLow: 30, AgeHigh: 30, Volunteer: true})
		b := New(traits, d, nil, stream(1, "ill"), stream(2, "noise"))
		for second := range 660 {
			s := Setting{Posture: Chair}
			if second >= 60 {
				s.Neck = unit.HR(slows)
			}
			n += len(b.Step(s))
			level += float64(b.Now().HR) / 660
		}
		return n, level
	}
	free, level := beats(0)
	pressed, same := beats(4)
	if lost := free - pressed; lost < 36 || lost > 43 {
		t.Errorf("%d beats lost in ten minutes at 4 bpm, want about 40", lost)
	}
	const chance = 0.5 // bpm: each beat draws, so the wander of the two is not the same
	if math.Abs(level-same) > chance {
		t.Errorf("the heart's own rate moved from %v to %v", level, same)
	}
	slowed := 0
	for seed := range uint64(10000) {
		if a := instrument.DrawArtery(stream(seed, "artery"), 120); a.Neck > 0 {
			slowed++
			if a.Neck > 4 {
				t.Fatalf("%v bpm", a.Neck)
			}
		}
	}
	if slowed < 900 || slowed > 1100 {
		t.Errorf("%d of 10 000 are slowed, want about 1000", slowed)
	}
}
