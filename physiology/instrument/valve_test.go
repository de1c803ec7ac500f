package instrument

import (
	"fmt"
	"testing"
)

// The needle falls as fast as the valve lets it and no faster, however many beats sound on the way: a mark is noted at most one early.
func TestNeedleKeepsToTheValve(t *testing.T) {
	for _, valve := range []float64{1, 1.5, 2, 2.5, 3, 5, 10, 20} {
		for _, hr := range []float64{50, 90, 150, 190} {
			t.Run(fmt.Sprintf("%v mmHg/s at %v bpm", valve, hr), func(t *testing.T) {
				for seed := range uint64(20) {
					r := gen(seed, 3)
					h := heart{every: 60 / hr, next: r.Float64() * 60 / hr, sys: 150.5, dia: 80.5}
					c := NewCuff(r, 190, valve, 0, seed%2 == 0, Adult, 30)
					opens := placeS + 8 // 190 mmHg at 25 mmHg/s
					for s := range 400 {
						done := c.Second(h.second(s))
						needle := 190 - valve*float64(max(0, s+1-opens))
						noted := float64(c.Top() - GaugeStep*len(c.Heard()))
						if noted < needle-GaugeStep-0.001 {
							t.Fatalf("seed %d: after %d s marks are noted down to %.0f, the needle stands at %.1f", seed, s+1, noted, needle)
						}
						if done {
							break
						}
					}
					read := ReadSounds(c.Top(), valve, c.Heard())
					slack := valve*60/hr + 2*GaugeStep // between two beats, and the reading of marks; noise hides two sounds more
					if d := 150.5 - float64(read.Systolic); d < -2 || d > 3*slack {
						t.Errorf("seed %d: systolic read %.1f low, want within %.1f: %s", seed, d, 3*slack, c.Heard())
					}
					if d := float64(read.Diastolic) - 80.5; d < -2*GaugeStep || d > slack {
						t.Errorf("seed %d: diastolic read %.1f high, want within %.1f: %s", seed, d, slack, c.Heard())
					}
				}
			})
		}
	}
}
