package skill

import (
	"testing"

	"kilopond/scenarios"
)

func TestMixInterleaves(t *testing.T) {
	for _, n := range []int{1, 5, 9, 40} {
		for seed := scenarios.Seed(0); seed < 50; seed++ {
			for _, of := range [][]Standing{Fold(nil), Fold(nil)[2:5], Fold(nil)[:1]} {
				tasks := MixTasks(of, seed, n)
				if len(tasks) != n {
					t.Fatalf("%d tasks, want %d", len(tasks), n)
				}
				count := map[Name]int{}
				seen := map[Task]bool{}
				for i, x := range tasks {
					if i > 0 && len(of) > 1 && tasks[i-1].Skill == x.Skill {
						t.Errorf("seed %d: %s comes twice running", seed, x.Skill)
					}
					if seen[x] {
						t.Errorf("seed %d: %+v comes twice", seed, x)
					}
					seen[x] = true
					count[x.Skill]++
				}
				for _, s := range of {
					if c := count[s.Skill]; c < n/len(of) || c > n/len(of)+1 {
						t.Errorf("seed %d: %d of %d questions are of %s", seed, c, n, s.Skill)
					}
				}
			}
		}
	}
	if MixTasks(nil, 1, 5) != nil {
		t.Error("nothing gives tasks")
	}
}
