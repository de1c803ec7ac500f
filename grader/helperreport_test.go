package grader

import (
	"math"
	"strings"
	"testing"

	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A helper's slips are charged to nobody, as long as a number that no pulse makes is asked about; else exactly that number is charged. The slips
// are known here by the truth, which no rule looks at.
func TestHelpersSlipsAreNotTheStudents(t *testing.T) {
	const seeds = 120
	book, c := bookOf("crew=pulse_helper"), mustCase(t, string(well))
	miscounted, asked, charged, own := 0, 0, 0, 0
	for seed := range scenarios.Seed(seeds) {
		right := play(t, book, c, seed, asksAboutJumps(helperCounts())).course(t)
		for _, k := range right.Counts {
			if k.Helped && whole(k) && k.Again {
				asked++
			} else if k.Helped && whole(k) && math.Abs(float64(k.HR-k.True)) > 6 {
				miscounted++
			}
		}
		for _, f := range charges(Grade(book, right)) {
			if f.Rule == "pulse-accuracy" || f.Rule == "false-stop" {
				t.Errorf("seed %d: %s", seed, line(f))
			}
		}
		wrong := play(t, book, c, seed, helperCounts()).course(t)
		doubts := map[int]helperDoubt{}
		for _, d := range helperDoubts(book, wrong) {
			doubts[d.count.FromS] = d
			if max(math.Abs(float64(d.count.HR-d.count.True)), math.Abs(float64(d.before.HR-d.before.True))) < 15 { // neither was wrong
				own++
			}
		}
		for _, f := range charges(Grade(book, wrong)) {
			if f.Rule != "pulse-accuracy" {
				continue
			}
			charged++
			if d, odd := doubts[f.AtS]; !odd || d.asked || !strings.HasPrefix(f.Known, "The helper said ") {
				t.Errorf("seed %d: %s", seed, line(f))
			}
		}
	}
	t.Logf("%d people: %d counts a beat or two off at no cost, %d numbers asked about, %d written as said and charged, %d jumps of the person's own", seeds, miscounted, asked, charged, own)
	if miscounted < 10 || asked < 10 || charged < 10 {
		t.Error("too few to say anything")
	}
	if own > seeds/30 {
		t.Errorf("%d jumps that were a pulse's own are asked about", own)
	}
}

// By hand: what can follow a count and what cannot.
func TestWhatAPulseCanDo(t *testing.T) {
	at := func(stage int, hr float64) Count { return Count{Stage: stage, HR: unit.HR(hr)} }
	for _, x := range []struct {
		before, k Count
		want      bool
	}{
		{at(2, 112), at(2, 116), true}, {at(2, 112), at(2, 137), true}, {at(2, 112), at(2, 138), false}, {at(2, 112), at(2, 86), false},
		{at(1, 92), at(2, 136), true}, {at(1, 92), at(2, 138), false}, {at(2, 112), at(3, 97), true}, {at(2, 112), at(3, 96), false},
	} {
		if got := follows(x.before, x.k); got != x.want {
			t.Errorf("%.0f bpm of stage %d after %.0f of stage %d: %v", x.k.HR, x.k.Stage, x.before.HR, x.before.Stage, got)
		}
	}
}
