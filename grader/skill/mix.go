package skill

import (
	"fmt"

	"kilopond/scenarios"
)

// Mix is the name of a sitting of several skills, interleaved. Source: [BRUNMAIR2019].
const Mix Name = "mix"

// A Task is a question that is to be asked.
type Task struct {
	Skill Name
	Seed  scenarios.Seed
	Level int
}

// Tasks arranges n questions of one skill.
func (s Skill) Tasks(seed scenarios.Seed, level, n int) []Task {
	var all []Task
	for _, x := range s.Seeds(seed, level, n) {
		all = append(all, Task{s.Name, x, level})
	}
	return all
}

// MixTasks arranges n questions of several skills, each at its level: in each round every skill comes once, in an order that the seed shuffles, and
// never twice in a row where there is another.
func MixTasks(of []Standing, seed scenarios.Seed, n int) []Task {
	if len(of) == 0 {
		return nil
	}
	waiting := map[Name][]Task{}
	for _, s := range of {
		one, ok := Find(s.Skill)
		if !ok {
			panic("skill: no " + string(s.Skill))
		}
		waiting[s.Skill] = one.Tasks(seed, s.Level, n/len(of)+1)
	}
	var all []Task
	for round := 0; len(all) < n; round++ {
		order := seed.Stream(fmt.Sprintf("skill/mix/%d", round)).Perm(len(of))
		if k := len(all); k > 0 && len(order) > 1 && all[k-1].Skill == of[order[0]].Skill {
			order[0], order[1] = order[1], order[0]
		}
		for _, i := range order {
			if len(all) == n {
				break
			}
			name := of[i].Skill
			all = append(all, waiting[name][0])
			waiting[name] = waiting[name][1:]
		}
	}
	return all
}
