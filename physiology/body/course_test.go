package body

import (
	"math"
	"testing"

	"kilopond/physiology/unit"
)

// grade is the highest grade of the sign on the channel in this second; 0 when it is not there.
func gradeOf(b *Body, sign Sign, ch Channel) int {
	g := 0
	for _, y := range b.Symptoms() {
		if y.Sign == sign && y.Channel == ch {
			g = max(g, y.Grade)
		}
	}
	return g
}

// A step towards a level is exact: after n seconds the share exp(−n/τ) of the distance is left, whatever the length of the steps.
func TestStepTowardsALevelIsExact(t *testing.T) {
	for _, tau := range []float64{15, 40, 62.5, 230} {
		y, keep := 100.0, decay(tau)
		for n := 1; n <= 600; n++ {
			y = 160 + float64((y-160)*keep)
			if want := 160 - 60*math.Exp(-float64(n)/tau); math.Abs(y-want) > 1e-9 {
				t.Fatalf("τ %v after %d s: %v, want %v", tau, n, y, want)
			}
		}
	}
	for name, c := range map[string]struct{ keep, tau float64 }{
		"rhythm": {rhythmKeep, 3}, "slow component": {slowKeep, 200}, "late recovery": {lateKeep, 700}, "pressure": {pressureKeep, 40},
		"pain on": {painOn, 15}, "pain off": {painOff, 75}, "fall": {fallKeep, 30}, "rise": {riseKeep, 60},
	} {
		if got := -1 / math.Log(c.keep); math.Abs(got-c.tau) > 1e-9 {
			t.Errorf("%s: the constant stands for τ = %v s, want %v", name, got, c.tau)
		}
	}
}

// Chest discomfort begins at the threshold of the product and nowhere below, first admitted, then seen, then said, and eases 2–5 min after stopping.
// Source: physiology of [WATERS1985]; the lag and the easing are choices.
func TestAnginaFollowsTheProduct(t *testing.T) {
	came, eased := 0, 0
	for seed := range uint64(60) {
		_, b := somebody(seed, Who{AgeLow: 50, AgeHigh: 70, Volunteer: true}, Ill{Angina: &Angina{Threshold: Span{16000, 18000}}})
		own := b.ills[0].(*angina).threshold
		crossed, grew, last := false, map[Channel]int{}, 0
		second := 0
		for kp := unit.Resistance(0); kp <= 4 && gradeOf(b, ChestDiscomfort, Found) < 3; kp += 0.5 {
			ride(b, 120, kp, func() {
				second++
				n := b.Now()
				crossed = crossed || float64(n.HR)*float64(n.SBP) > own
				g := gradeOf(b, ChestDiscomfort, Found)
				if g > 0 && !crossed {
					t.Fatalf("seed %d: discomfort below the threshold", seed)
				}
				if g > last+1 {
					t.Fatalf("seed %d: discomfort jumps from %d to %d within a second", seed, last, g)
				}
				last = g
				for _, ch := range []Channel{Found, Seen, Unasked} {
					if grew[ch] == 0 && gradeOf(b, ChestDiscomfort, ch) > 0 {
						grew[ch] = second
					}
				}
			})
		}
		if last < 3 {
			continue
		}
		came++
		if !(grew[Found] < grew[Seen] && grew[Seen] < grew[Unasked]) {
			t.Errorf("seed %d: admitted at %d s, seen at %d, said at %d: want that order", seed, grew[Found], grew[Seen], grew[Unasked])
		}
		if d := grew[Unasked] - grew[Found]; d < 5 {
			t.Errorf("seed %d: from first discomfort to speech in %d s", seed, d)
		}
		for s := 1; s <= 420; s++ {
			b.Step(Setting{Posture: OnCycle})
			if gradeOf(b, ChestDiscomfort, Found) == 0 {
				eased++
				if s < 60 || s > 330 {
					t.Errorf("seed %d: gone %d s after stopping, want 1 to 5½ min", seed, s)
				}
				break
			}
		}
	}
	if came < 30 || eased != came {
		t.Errorf("discomfort came to %d of 60 and eased in %d", came, eased)
	}
}

// Systolic pressure falls while the work rises, is found by cuff before it shows, shows before it is said, and comes back after stopping.
func TestPressureFallsWhileWorkRises(t *testing.T) {
	fell := 0
	for seed := range uint64(60) {
		_, b := somebody(seed, Who{AgeLow: 40, AgeHigh: 60, Volunteer: true}, Ill{PressureFall: &FallingBP{Onset: Span{0.35, 0.45}, Fall: Span{20, 30}}})
		sit(b, 120)
		var highest unit.Pressure
		first := map[Sign]int{}
		second := 0
		for kp := unit.Resistance(0); kp <= 4 && gradeOf(b, Lightheaded, Unasked) == 0; kp += 0.5 {
			ride(b, 180, kp, func() {
				second++
				highest = max(highest, b.Now().SBP)
				for _, y := range b.Symptoms() {
					s := y.Sign
					if s == Lightheaded && y.Channel == Unasked {
						s = "said"
					}
					if first[s] == 0 {
						first[s] = second
					}
				}
			})
		}
		if first["said"] == 0 {
			continue
		}
		fell++
		if drop := highest - b.Now().SBP; drop < 10 {
			t.Errorf("seed %d: systolic only %.0f below its highest when dizziness is said", seed, float64(drop))
		}
		if !(first[PressureFall] < first[Pallor] && first[Pallor] < first["said"]) {
			t.Errorf("seed %d: %v: want the fall, then pallor, then words", seed, first)
		}
		for range 300 {
			b.Step(Setting{Posture: OnCycle})
		}
		if got := b.Symptoms(); len(got) != 0 {
			t.Errorf("seed %d: five minutes after stopping still %v", seed, got)
		}
	}
	if fell < 30 {
		t.Errorf("the fall came to words in %d of 60, want most", fell)
	}
}

// A load far above what a healthy person can do: uptake stands at its maximum, the rhythm goes, the rating climbs and the person asks to stop, then stops.
func TestOverloadOfTheHealthy(t *testing.T) {
	var soon []float64
	for seed := range uint64(60) {
		p, b := somebody(seed, Who{AgeLow: 20, AgeHigh: 40})
		ride(b, 180, 0.5, nil)
		kp := loadFor(p, 1.5*float64(p.VO2Max))
		lost, asked, stopped := 0, 0, 0
		second := 0
		var vo2 unit.VO2
		var rating unit.RPE
		ride(b, 360, kp, func() {
			second++
			vo2 = max(vo2, b.Now().VO2)
			rating = max(rating, b.Exertion())
			if lost == 0 && gradeOf(b, CadenceLost, Seen) > 0 {
				lost = second
			}
			if asked == 0 && gradeOf(b, AskedToStop, Unasked) > 0 {
				asked = second
			}
			if stopped == 0 && b.Now().Stopped {
				stopped = second
			}
		})
		soon = append(soon, float64(lost))
		if lost == 0 || lost > 90 {
			t.Errorf("seed %d: rhythm lost after %d s, want within 90 s", seed, lost)
		}
		if asked == 0 || stopped > 0 && stopped < asked { // some go on at half the rhythm, having asked
			t.Errorf("seed %d: asked to stop at %d s and stopped at %d s", seed, asked, stopped)
		}
		if rating < 19 {
			t.Errorf("seed %d: rating reached %d, want 19 or 20", seed, rating)
		}
		if share := float64(vo2) / float64(p.VO2Max); share < 0.85 || share > 1.0001 {
			t.Errorf("seed %d: uptake reached %.2f of the maximum", seed, share)
		}
	}
	half := median(soon)
	t.Logf("half of them lose the rhythm within %.0f s", half)
	if half > 30 {
		t.Errorf("half of them lose the rhythm only after %.0f s, want within 30 s", half)
	}
}
