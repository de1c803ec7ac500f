package skill

import (
	"testing"

	"kilopond/grader"
	"kilopond/scenarios"
)

// Under every house's rules each skill has questions with some right and some wrong answers.
func TestOtherHouseRules(t *testing.T) {
	cases := maker(t).cases // read once for all houses
	for i, p := range grader.Presets() {
		for _, set := range [][]string{
			nil, {"max_extensions=0"}, {"branch_hr=mean_last_two", "steady=one_beat", "count.seconds=30"}, {"end=within10", "screening.repeat_when_high=false"},
			{"stage_s=240", "fit=ols", "pressure.every_stages=2", "cadence_rpm=60", "one_point=none", "crew=both", "max_hr=sydo", "stage_hr=last"},
		} {
			b := preset(t, p.Name)
			if err := b.SetAll(set); err != nil {
				t.Fatalf("%s %v: %v", p.Name, set, err)
			}
			m := NewMaker(b)
			m.cases = cases
			for _, s := range Skills() {
				for level := 1; level <= Levels; level++ {
					it := draw(t, m, s.Name, scenarios.Seed(5).Row(i*Levels+level), level)
					if it.Choices == nil {
						if v := it.Judge(Answer{Numbers: make([]float64, len(it.Boxes))}); v.Right && it.Kind != tooLow {
							t.Errorf("%s %v, %s, level %d, seed %d: nought is right", p.Name, set, s.Name, level, it.Seed)
						}
						continue
					}
					rights := 0
					for _, c := range it.Choices {
						if it.Judge(Answer{Choice: c.Word}).Right {
							rights++
						}
					}
					if rights == 0 || rights == len(it.Choices) {
						t.Errorf("%s %v, %s, level %d, seed %d, %s: %d of %d answers are right", p.Name, set, s.Name, level, it.Seed, it.Kind, rights, len(it.Choices))
					}
				}
			}
		}
	}
}
