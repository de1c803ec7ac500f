package body

import "testing"

// Nobody's heart rate climbs because the load becomes lighter, whatever drives it: a minute into light pedalling it is lower than at the end of the
// harder work. It is the sign of every recovery in print: [BARAK2011], [CARDIA-HRR].
func TestRateFallsWhenTheLoadBecomesLighter(t *testing.T) {
	for name, ill := range map[string]Ill{
		"heat":         {Heat: &Heat{Room: Span{39, 39}, Dehydration: Span{4.6, 4.6}}},
		"fibrillation": {Fibrillation: &Fibrillation{Onset: Span{0, 0}, Extra: Span{30, 30}, Spread: Span{0.2, 0.2}, Deficit: Span{0.1, 0.1}}},
		"low sugar":    {LowSugar: &LowSugar{Onset: Span{2, 2}}},
	} {
		climbs, fall := 0, 0.0
		for seed := range uint64(100) {
			_, b := somebody(seed, Who{AgeLow: 30, AgeHigh: 60}, ill)
			sit(b, 300)
			ride(b, 180, 0.5, nil)
			ride(b, 180, 1.25, nil)
			top := b.hr
			ride(b, 60, 0.25, nil)
			if fall += (top - b.hr) / 100; b.hr > top {
				climbs++
			}
		}
		t.Logf("%s: %.1f bpm lower after a minute, higher in %d of 100", name, fall, climbs)
		if climbs > 2 || fall < 5 {
			t.Errorf("%s: %.1f bpm lower after a minute, higher in %d of 100", name, fall, climbs)
		}
	}
}
