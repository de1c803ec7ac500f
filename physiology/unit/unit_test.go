package unit

import (
	"math"
	"testing"
)

func TestWorkRates(t *testing.T) {
	for w := WorkRate(25); w <= 1500; w += 25 {
		if back := w.Resistance(50).WorkRate(50); math.Abs(float64(back-w)) > 1e-9 {
			t.Errorf("%v kg·m/min comes back as %v", w, back)
		}
	}
	if got := Resistance(0.5).WorkRate(50); got != 150 {
		t.Errorf("0.5 kp at 50 rpm = %v kg·m/min, want 150 [FORMSHEET]", got)
	}
	if got := float64(Watt); math.Abs(got-6.118) > 0.0005 {
		t.Errorf("one watt = %v kg·m/min, want 6.118 [FORMSHEET]", got)
	}
}

func TestRoundIsAwayFromZero(t *testing.T) {
	for _, c := range []struct {
		x    float64
		n    int
		want float64
	}{{2.5, 0, 3}, {-2.5, 0, -3}, {161.25, 1, 161.3}, {0.125, 2, 0.13}} {
		if got := Round(c.x, c.n); got != c.want {
			t.Errorf("Round(%v, %d) = %v, want %v", c.x, c.n, got, c.want)
		}
	}
}

func TestVO2(t *testing.T) {
	if got := VO2(2450).Per(70); got != 35 {
		t.Errorf("2450 mL/min at 70 kg = %v mL/kg/min, want 35", got)
	}
	if got := RelVO2(35).Of(70).LitresPerMin(); got != 2.45 {
		t.Errorf("35 mL/kg/min at 70 kg = %v L/min, want 2.45", got)
	}
}
