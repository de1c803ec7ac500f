package scenarios

import (
	"slices"
	"testing"

	"kilopond/physiology/unit"
)

func population(t *testing.T, mix Mix, low, high int, sexes ...unit.Sex) Population {
	t.Helper()
	p, err := NewPopulation(mix, sexes, low, high)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPopulationKeepsToItsBounds(t *testing.T) {
	for _, mix := range Mixes() {
		women := population(t, mix, 30, 52, unit.Female)
		for seed := range Seed(2000) {
			p := women.Draw(seed)
			if p.Traits.Sex != unit.Female || p.Traits.Age < 30 || p.Traits.Age > 52 || p.Seed != seed {
				t.Fatalf("%s, seed %d: %s of %v", mix, seed, p.Traits.Sex, p.Traits.Age)
			}
		}
	}
}

// Four students in five are 35 at most; one in a hundred of the general mix has a pressure that falls, 1.8 have many early beats and a
// third some at all (REFAAT2021, BLACKBURN1973), and no volunteer has anything.
func TestSharesOfTheMixes(t *testing.T) {
	const n = 20000
	youngOnes, falls, often, some, ill := 0, 0, 0, 0, 0
	students, general, volunteers := population(t, Students, 18, 79), population(t, General, 18, 79), population(t, Volunteers, 18, 79)
	for seed := range Seed(n) {
		if students.Draw(seed).Traits.Age <= youngTo {
			youngOnes++
		}
		for _, i := range general.Draw(seed).Ills {
			switch {
			case i.PressureFall != nil:
				falls++
			case i.PrematureBeats.PerMin.Low > 6:
				often++
				some++
			default:
				some++
			}
		}
		ill += len(volunteers.Draw(seed).Ills)
	}
	if share := float64(youngOnes) / n; share < 0.785 || share > 0.815 { // 0.8 ± five SDs
		t.Errorf("%.3f of the students are young", share)
	}
	if share := float64(falls) / n; share < 0.0065 || share > 0.0135 { // 0.01 ± five SDs
		t.Errorf("pressure falls in %.4f of the general mix", share)
	}
	if a, b := float64(often)/n, float64(some)/n; a < 0.0133 || a > 0.0227 || b < 0.313 || b > 0.347 { // 0.018 and 0.33 ± five SDs
		t.Errorf("early beats often in %.4f of the general mix, at all in %.3f", a, b)
	}
	if ill != 0 {
		t.Errorf("%d volunteers with something wrong", ill)
	}
}

// The same person on another day is the same person, and no two days are alike.
func TestAnotherDay(t *testing.T) {
	p := population(t, General, 18, 79).Draw(5)
	if p.Day(1) == p.Day(2) || p.Day(1) != p.Day(1) {
		t.Error("days do not differ, or one differs from itself")
	}
	if q := population(t, General, 18, 79).Draw(5); q.Traits != p.Traits {
		t.Error("the same seed brought somebody else")
	}
}

func TestPopulationRefuses(t *testing.T) {
	for _, c := range []struct {
		mix       Mix
		low, high int
	}{{"everybody", 18, 79}, {General, 40, 30}, {General, 17, 30}, {Students, 18, 80}} {
		if _, err := NewPopulation(c.mix, nil, c.low, c.high); err == nil {
			t.Errorf("%v was taken", c)
		}
	}
	if !slices.Contains(Mixes(), Students) {
		t.Error("a mix is missing")
	}
}

func BenchmarkDrawPerson(b *testing.B) {
	p, err := NewPopulation(General, nil, 18, 79)
	if err != nil {
		b.Fatal(err)
	}
	for i := 0; b.Loop(); i++ {
		p.Draw(Seed(i))
	}
}
