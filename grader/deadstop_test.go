package grader

import (
	"slices"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A faint after the work does not excuse the dead stop before it, which may have brought it on; one who is stopped for a sign is not charged with it.
func TestADeadStopIsChargedThoughAFaintFollows(t *testing.T) {
	book, c := Default(), mustCase(t, "wednesday-eleven")
	faints, charged := 0, 0
	for seed := range scenarios.Seed(40) {
		st := play(t, book, c, seed, once(change(is(exercises.CoolDown, ""), instead(cmd(exercises.Stop)))))
		course := st.course(t)
		n, danger := noticed(book, course, isEmergency, course.PedalAtS, lastSecond(course)+1)
		if st.slips == 0 || !danger || n.AtS <= course.EndedAtS {
			continue
		}
		faints++
		if slices.ContainsFunc(charges(Grade(book, course)), func(f Finding) bool { return f.Rule == ruleCoolDown.Name }) {
			charged++
		}
	}
	if faints < 10 || charged != faints {
		t.Errorf("%d of %d dead stops before a faint were charged", charged, faints)
	}
	stopped := play(t, book, mustCase(t, string(chest)), 0, nil).course(t)
	if list := ruleCoolDown.Judge(book, stopped); list != nil || stopped.EndedHow != exercises.Stop {
		t.Errorf("stopped for a sign: %+v", list)
	}
}
