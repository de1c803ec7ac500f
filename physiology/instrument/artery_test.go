package instrument

import (
	"math"
	"testing"

	"kilopond/physiology/unit"
)

// Of people with a high resting pressure, 21 % of 168 had a silent gap. Source: [CAVALLINI1996].
func TestGapsAreAsOftenAsPublished(t *testing.T) {
	const n = 20000
	gaps := 0
	for seed := range uint64(n) {
		if a := DrawArtery(gen(seed, 3), 152); a.GapFrom > 0 {
			gaps++
			if a.GapFrom >= 1 || a.GapTo <= 0 || a.GapFrom <= a.GapTo {
				t.Fatalf("a gap from %v to %v of the pulse pressure", a.GapFrom, a.GapTo)
			}
		}
	}
	const of168 = 0.0314 // standard error of the published share
	if share := float64(gaps) / n; math.Abs(share-0.21) > of168 {
		t.Errorf("%.3f have a gap, published 0.21", share)
	}
}

// over lets a cuff down on an artery that does not sound as in the book.
func over(pump unit.Pressure, noisy bool, a Artery, sinceS int) Sounds {
	h := heart{every: 0.5, next: 0.1, sys: 170, dia: 80}
	c := NewCuff(gen(1, 4), pump, 3, 0, noisy, Adult, 30)
	c.Over(a, sinceS)
	for s := range 200 {
		if c.Second(h.second(s)) {
			break
		}
	}
	return ReadSounds(c.Top(), 3, c.Heard())
}

// Pumped above the gap the systolic pressure is heard; pumped into it the first sound is that below it, and nothing tells. Source: [WSU].
func TestPumpedIntoTheGapReadsLow(t *testing.T) {
	gap := Artery{GapFrom: 0.85, GapTo: 0.6} // silent from 156.5 down to 134 mmHg
	if s := over(200, false, gap, -1); math.Abs(float64(s.Systolic)-170) > 4 {
		t.Errorf("pumped to 200 over a gap: %+v, want 170", s)
	}
	s := over(154, false, gap, -1)
	if s.HeardAtOnce || math.Abs(float64(s.Systolic)-134) > 4 {
		t.Errorf("pumped to 154, into the gap: %+v, want 134 and nothing odd to be heard", s)
	}
}

// Where the sounds run on, the muffling is taken for diastolic, and three numbers are written; at rest the same artery sounds as in the book. Source: [K45].
func TestSoundsRunOnAtWork(t *testing.T) {
	s := over(200, true, Artery{ToZero: true}, -1)
	if s.Last > 4 || math.Abs(float64(s.Diastolic)-86) > 8 {
		t.Errorf("at work: %+v, want a muffling near 86 and a last sound near 0", s)
	}
	if got, want := s.String(), "/0"; got[len(got)-2:] != want {
		t.Errorf("written %s, want it to end in %s", got, want)
	}
	if s := over(200, false, Artery{ToZero: true}, -1); math.Abs(float64(s.Diastolic)-80) > 4 {
		t.Errorf("at rest: %+v, want 80", s)
	}
}

// An arm let go a moment ago is congested; a minute later it is not. Source: [GAP] the minute.
func TestARepeatTooSoonMisreads(t *testing.T) {
	at, after := over(200, false, Artery{}, 0), over(200, false, Artery{}, congestedS)
	if at.Systolic >= after.Systolic || at.Diastolic <= after.Diastolic {
		t.Errorf("at once %+v, a minute later %+v: want the first lower and higher", at, after)
	}
	if first := over(200, false, Artery{}, -1); first != after {
		t.Errorf("a minute later %+v, the first cuff of the day %+v: want the same", after, first)
	}
}
