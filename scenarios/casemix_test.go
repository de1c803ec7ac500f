package scenarios

import "testing"

// The numbers are those that the mixes promise.
func TestCaseMixes(t *testing.T) {
	for _, c := range []struct {
		mix                                 CaseMix
		n, unscored                         int
		uneventful, alike, refuse, stop, un int
	}{
		{Teaching, 10, 0, 6, 2, 1, 1, 0}, {Teaching, 20, 0, 12, 4, 2, 2, 0}, {Graded, 10, 0, 6, 2, 1, 1, 0},
		{Graded, 10, 1, 5, 2, 2, 1, 1}, {Graded, 10, 2, 4, 2, 2, 2, 2}, {Natural, 20, 0, 18, 1, 0, 1, 0}, {Natural, 40, 0, 36, 2, 1, 1, 0},
	} {
		slots, err := c.mix.Slots(c.n, c.unscored)
		if err != nil {
			t.Fatal(err)
		}
		got := map[Stratum]int{}
		un := 0
		for _, s := range slots {
			got[s.Stratum]++
			if !s.Scored {
				un++
			}
		}
		if len(slots) != c.n || got[Uneventful] != c.uneventful || got[LookAlike] != c.alike || got[NotTested] != c.refuse || got[MustStop] != c.stop || un != c.un {
			t.Errorf("%s %d %d: %v, %d unscored", c.mix, c.n, c.unscored, got, un)
		}
	}
	for _, c := range []struct {
		mix         CaseMix
		n, unscored int
	}{{"none", 10, 0}, {Teaching, 0, 0}, {Teaching, 41, 0}, {Graded, 9, 0}, {Graded, 10, 3}, {Teaching, 10, 1}} {
		if _, err := c.mix.Slots(c.n, c.unscored); err == nil {
			t.Errorf("%v is taken", c)
		}
	}
}

// Each stratum has cases enough that a class can be given different ones.
func TestStrataOfTheLibrary(t *testing.T) {
	all, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	n := map[Stratum]int{}
	for _, c := range all {
		n[c.Stratum()]++
		if c.Stratum() == Uneventful && (c.Room != nil || c.RightAct != RunToEnd) {
			t.Errorf("%s counts as uneventful", c.ID)
		}
	}
	for _, s := range Strata() {
		if n[s] < 6 {
			t.Errorf("%s: %d cases", s, n[s])
		}
	}
}
