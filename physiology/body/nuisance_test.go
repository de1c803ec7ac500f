package body

import (
	"math/rand/v2"
	"testing"

	"kilopond/physiology/unit"
)

func nuisanced(n Nuisance) *Body {
	r := rand.New(rand.NewPCG(1, 2))
	t := DrawTraits(r, Who{Sexes: []unit.Sex{unit.Female}, AgeLow: 30, AgeHigh: 30})
	return New(t, DrawDay(r, nil), []Ill{{Nuisance: &n}}, r, rand.New(rand.NewPCG(3, 4)))
}

// rideAndSit pedals for work seconds at 1 kp and then sits still, and returns the seconds at which the nuisance was there.
func rideAndSit(b *Body, work, still int) (at []int) {
	set := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: 1}
	for second := 1; second <= work+still; second++ {
		if second > work {
			set = Setting{Posture: Chair}
		}
		b.Step(set)
		for _, y := range b.Symptoms() {
			if y.Sign == Harmless {
				at = append(at, second)
			}
		}
	}
	return at
}

func TestNuisanceComesWhenItSays(t *testing.T) {
	if at := rideAndSit(nuisanced(Nuisance{OnsetMin: &Span{2, 2}, Channel: Found}), 300, 200); len(at) != 181 || at[0] != 120 || at[180] != 300 {
		t.Errorf("from minute 2 to the end of the work: %d seconds, %v", len(at), at)
	}
	if at := rideAndSit(nuisanced(Nuisance{OnsetMin: &Span{2, 2}, Channel: Unasked, EveryS: 60}), 300, 200); len(at) != 4 || at[0] != 120 || at[1] != 180 {
		t.Errorf("once a minute from minute 2: %v", at)
	}
	if at := rideAndSit(nuisanced(Nuisance{AfterStop: &Span{20, 20}, Channel: Seen}), 300, 400); len(at) == 0 || at[0] != 321 || len(at) != stillS {
		t.Errorf("from 20 s after the work for %d s: %v", stillS, at)
	}
	at := rideAndSit(nuisanced(Nuisance{Onset: &Span{0.1, 0.1}, Channel: Seen}), 300, 200)
	if len(at) < 280 || at[len(at)-1] > 305 {
		t.Errorf("while effort is above the onset: %v", at)
	}
	if at := rideAndSit(nuisanced(Nuisance{Onset: &Span{0.9, 0.9}, Channel: Seen}), 300, 200); len(at) != 0 {
		t.Errorf("effort never came near the onset, and it was there at %v", at)
	}
}

// A nuisance changes nothing but words.
func TestNuisanceChangesNothing(t *testing.T) {
	a, b := nuisanced(Nuisance{OnsetMin: &Span{0, 0}, Channel: Found}), nuisanced(Nuisance{AfterStop: &Span{300, 300}, Channel: Found})
	set := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: 2}
	for second := range 400 {
		if second == 300 {
			set = Setting{Posture: Standing}
		}
		a.Step(set)
		b.Step(set)
		if a.Now() != b.Now() {
			t.Fatalf("second %d: %+v and %+v", second, a.Now(), b.Now())
		}
	}
}

func TestNuisanceIsChecked(t *testing.T) {
	for _, n := range []Nuisance{
		{Channel: Found}, {Onset: &Span{0.2, 0.3}, OnsetMin: &Span{1, 2}, Channel: Found}, {Onset: &Span{0.3, 0.2}, Channel: Found}, {Onset: &Span{0.2, 1.3}, Channel: Found},
		{Onset: &Span{0.2, 0.3}}, {Onset: &Span{0.2, 0.3}, Channel: "heard"}, {Onset: &Span{0.2, 0.3}, Channel: Unasked}, {Onset: &Span{0.2, 0.3}, Channel: Found, EveryS: -1},
	} {
		if len(n.check()) == 0 {
			t.Errorf("%+v passes", n)
		}
	}
	if faults := (Nuisance{Onset: &Span{0.2, 0.3}, Channel: Unasked, EveryS: 120}).check(); len(faults) > 0 {
		t.Error(faults)
	}
}
