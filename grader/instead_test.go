package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// told counts at how many commands of an attempt something else is said to have been due, and shows the first.
func told(t *testing.T, st *student, p *Proctor) (n int, first string) {
	t.Helper()
	session := exercises.Begin(st.header, st.scene)
	for _, l := range st.lines {
		at := session.State().ClockS
		judge := p.Instead(session.State(), l.Command)
		if _, err := session.Do(l.Command); err != nil {
			t.Fatal(err)
		}
		for _, a := range judge() {
			if a.Why == "" || a.Source == "" {
				t.Errorf("at %d s: %s without reason or source", at, a.Act)
			}
			if n == 0 {
				first = clock(at) + ": " + string(l.Command.Act) + " " + l.Command.What + ", instead of " + string(a.Act) + " " + a.What + ": " + a.Why
			}
			n++
			break
		}
	}
	return n, first
}

// What the reference proctor does, and every other way that costs nothing, is never said to be wrong.
func TestInsteadIsSilentOnRightWays(t *testing.T) {
	book := Default()
	ways := otherWays()
	ways["the reference proctor"] = func() habit { return nil }
	for name, way := range ways {
		for _, id := range []caseID{well, chest, falls, unfit} {
			p := NewProctor(book)
			for seed := range scenarios.Seed(10) {
				st := play(t, book, mustCase(t, string(id)), seed, way())
				if n, first := told(t, st, p); n > 0 {
					t.Errorf("%s, %s seed %d: told %d times, first at %s", name, id, seed, n, first)
				}
			}
		}
	}
}

// A mistake of what is done, or of how long is waited, is told at once. What is left out, miscounted, misread or worked out wrongly is not: the
// coach says what is due, and does not look over the shoulder at the sheet.
func TestInsteadTellsMistakes(t *testing.T) {
	for _, m := range []struct {
		habit string
		caseID
		set string
	}{
		{"no consent", well, ""}, {"wrong cuff", well, ""}, {"rest cut short", well, ""}, {"metronome silent", well, ""},
		{"warm-up cut short", well, ""}, {"first load doubled", well, ""}, {"unsteady accepted", well, ""}, {"needless minute", well, ""},
		{"column too high", well, ""}, {"column too low", well, ""}, {"a load left out", well, ""}, {"dial turned", well, ""}, {"5 kp for 0.5", well, ""},
		{"ended after stage 2", well, ""}, {"stopped for nothing", well, ""}, {"pressure too early", well, ""}, {"left after the cool-down", well, ""},
		{"stopped dead", well, ""}, {"let go too soon", well, "cool_down.release_hr_bpm=70"}, {"went on at the ceiling", well, "ceiling.fraction=0.6"},
		{"went on above the limit", well, "stop.above_sbp_mmhg=201"}, {"sent home for nothing", well, ""}, {"tested anyway", unfit, ""},
		{"stopped 20 s late", chest, ""}, {"stopped a minute late", chest, ""}, {"cooled down instead of stopping", chest, ""},
		{"raised the load instead of stopping", chest, ""}, {"ended on one low pressure", falls, ""}, {"minute 2 not counted", well, ""},
	} {
		t.Run(m.habit, func(t *testing.T) {
			book := Default()
			if m.set != "" {
				if err := book.Set(m.set); err != nil {
					t.Fatal(err)
				}
			}
			habit, ok := habits()[m.habit]
			if !ok {
				t.Fatal("no such habit")
			}
			tried := 0
			p := NewProctor(book)
			for seed := scenarios.Seed(0); seed < seedsTried && tried < perKind; seed++ {
				st := play(t, book, mustCase(t, string(m.caseID)), seed, habit())
				if st.slips == 0 || len(charges(Grade(book, st.course(t)))) == 0 {
					continue
				}
				tried++
				n, first := told(t, st, p)
				if n == 0 {
					t.Errorf("seed %d: never told", seed)
				} else if tried == 1 {
					t.Log(n, first)
				}
			}
			if tried == 0 {
				t.Error("the mistake could be made on nobody")
			}
		})
	}
}
