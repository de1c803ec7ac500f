package scenarios

import (
	"fmt"
	"testing"
)

func TestParseSeed(t *testing.T) {
	for _, text := range []string{"-1", "1.5", "abc", "", " 7", "+7", "0x7", "1e3", "1_000", "1000000000000000", "99999999999999999999999"} {
		if s, err := ParseSeed(text); err == nil {
			t.Errorf("%q was read as seed %d", text, s)
		}
	}
	for text, want := range map[string]Seed{"0": 0, "7": 7, "999999999999999": MaxSeed} {
		if s, err := ParseSeed(text); err != nil || s != want {
			t.Errorf("%q = %d, %v; want %d", text, s, err, want)
		}
	}
}

func TestStreamsAreApart(t *testing.T) {
	if Seed(1).Stream("a").Uint64() == Seed(1).Stream("b").Uint64() {
		t.Error("two labels give the same draws")
	}
	if Seed(1).Stream("a").Uint64() == Seed(2).Stream("a").Uint64() {
		t.Error("two seeds give the same draws")
	}
	if Seed(1).Stream("a").Uint64() != Seed(1).Stream("a").Uint64() {
		t.Error("one seed and label give different draws")
	}
}

// Row 0 is the seed itself, rows are seeds that can be typed, no two are the same, and ten rows begin a hundred.
func TestRowsOfAPopulation(t *testing.T) {
	for _, s := range []Seed{0, 1, 7, 123456, MaxSeed} {
		if s.Row(0) != s {
			t.Errorf("row 0 of seed %d is %d", s, s.Row(0))
		}
		rows := func(n int) []Seed {
			var all []Seed
			for i := range n {
				all = append(all, s.Row(i))
			}
			return all
		}
		ten, many := rows(10), rows(20000)
		seen := map[Seed]int{}
		for i, r := range many {
			if i < len(ten) && ten[i] != r {
				t.Errorf("seed %d: row %d is %d of ten and %d of many", s, i, ten[i], r)
			}
			if r > MaxSeed {
				t.Errorf("seed %d: row %d is %d, which nobody can type", s, i, r)
			}
			if j, twice := seen[r]; twice {
				t.Errorf("seed %d: rows %d and %d are both %d", s, j, i, r)
			}
			seen[r] = i
		}
	}
	if Seed(7).Row(1) == Seed(8).Row(1) {
		t.Error("two populations share their second row")
	}
	if got := Seed(7).Row(1); got != rowOneOfSeven {
		t.Errorf("row 1 of seed 7 is %d, want %d: populations in print would change", got, rowOneOfSeven)
	}
}

// rowOneOfSeven was printed by the first version: whoever notes a row's seed gets that subject again.
const rowOneOfSeven Seed = 71765282352652

// A pack's seed is exact as a JSON number, cannot be typed, and is in no population.
func TestPackSeedsCannotBeTyped(t *testing.T) {
	for _, bits := range []uint64{0, 1, 1<<53 - 1, 1 << 53, 1<<64 - 1, 123456789} {
		s := PackSeed(bits)
		if s <= MaxSeed || float64(s) != float64(uint64(float64(s))) || uint64(float64(s)) != uint64(s) || s >= 1<<53 || !s.OfPack() {
			t.Errorf("bits %d: seed %d", bits, s)
		}
		if _, err := ParseSeed(fmt.Sprint(uint64(s))); err == nil {
			t.Errorf("seed %d can be typed", s)
		}
	}
	if MaxSeed.OfPack() || Seed(1<<53).OfPack() || Seed(7).Row(12).OfPack() {
		t.Error("a seed that can be typed, or a row's, counts as a pack's")
	}
}
