package grader

import (
	"math"
	"testing"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// Counts, interval and spread against a hand-worked row: of ten tests eight can be estimated, which is 49.0 to 94.3 % by the score interval
// (Newcombe RG, Stat Med 1998;17:857, formula 3 worked by hand); two per cent above and two below the truth have an SD of 2.1 with the divisor n − 1.
func TestAgeBandsCount(t *testing.T) {
	var first, second AgeBands
	for i := range 10 {
		p := scenarios.Person{}
		p.Traits.Age, p.Traits.Mass, p.Traits.VO2Max = 34, 80, 3200 // 40 mL/kg/min
		r := TrialResult{Answer: protocol.Answer{Estimable: i < 8, VO2Rel: 40.8 - unit.RelVO2(1.6*float64(i%2))}}
		if i < 4 {
			first.Add(p, r)
		} else {
			second.Add(p, r)
		}
	}
	home := scenarios.Person{}
	home.Traits.Age = 19
	second.Add(home, TrialResult{StopReason: StopNotTested})
	first.Merge(&second)
	list := first.List()
	if len(list) != 2 || list[0].FromY != 18 || list[0].NotTested != 1 || list[0].Percent != nil {
		t.Fatalf("bands %+v", list)
	}
	b := list[1]
	if b.FromY != 30 || b.ToY != 39 || b.Tests != 10 || b.Estimable != 8 || *b.Percent != 80 || *b.CILow != 49 || *b.CIHigh != 94.3 {
		t.Errorf("band %+v: %v (%v to %v)", b, *b.Percent, *b.CILow, *b.CIHigh)
	}
	if *b.Bias != 0 || math.Abs(*b.SD-2.1) > 0.05 {
		t.Errorf("bias %v, SD %v, want 0 and 2.1", *b.Bias, *b.SD)
	}
}
