package grader

import (
	"fmt"
	"math"
	"testing"
)

// A beat more or less in one count moves the worked answer, and not evenly, because the line is long. Worked by hand: age 30, 75 kg, 118 bpm at 450
// and 134 at 600 kg·m/min, maximum 190, cost 1.8 × WR / 75 + 7. Right: 600 + 56 × 150 / 16 = 1125, 34.0. One beat of a 10-s count is 6 bpm, of a
// 15-s count 4, of a 30-s count 2. For example 6 low in the last stage: 600 + 62 × 150 / 10 = 1530, 43.72, +29 %.
func TestOneBeatInEachStage(t *testing.T) {
	for _, c := range []struct {
		earlier, last int
		want          float64 // mL/kg/min
		percent       float64
	}{
		{0, 0, 34.0, 0},
		{0, -6, 43.7, 29}, {0, 6, 29.6, -13},
		{0, -4, 39.4, 16}, {0, 4, 30.8, -10},
		{0, -2, 36.3, 7}, {0, 2, 32.2, -5},
		{-6, 0, 30.6, -10}, {6, 0, 41.6, 22},
	} {
		h := &handmade{book: Default(), sex: "M", age: 30, stages: handStages(fmt.Sprintf("450:%d 600:%d", 118+c.earlier, 134+c.last))}
		h.ride(75)
		h.handIn(40, perfect(118, 134)...)
		course := h.course(t)
		got, right := WorkSheet(h.book, course), WorkPerfect(h.book, course)
		if !got.Estimable || !right.Estimable {
			t.Errorf("%+d and %+d bpm: %s%s", c.earlier, c.last, got.WhyNot, right.WhyNot)
			continue
		}
		change := 100 * (float64(got.VO2Rel/right.VO2Rel) - 1)
		if math.Abs(float64(got.VO2Rel)-c.want) > 0.051 || math.Abs(change-c.percent) > 0.51 {
			t.Errorf("%+d and %+d bpm: %.2f mL/kg/min, %+.1f %%, want %.1f and %+.0f %%", c.earlier, c.last, float64(got.VO2Rel), change, c.want, c.percent)
		}
	}
}
