package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// otherWays are habits that are as right as the reference proctor's own: the set of acceptable acts is part of a rule.
func otherWays() map[string]func() habit {
	doing := func(commands ...exercises.Command) func() habit {
		return func() habit {
			return once(change(is(exercises.Check, "brake"), first(commands...)))
		}
	}
	return map[string]func() habit{
		"pressure after the last count": func() habit {
			return change(func(s *exercises.State, c exercises.Command) bool {
				return inStage(exercises.Pressure, 0)(s, c) && s.ClockS-s.StageFromS < 162
			}, func(s *exercises.State, _ exercises.Command) []exercises.Command {
				t := s.ClockS - s.StageFromS // the counts of the minutes before come in between
				return []exercises.Command{waiting(min(163-t, max(1, 43-t%60)))}
			})
		},
		"another order before the test": doing(exercises.Command{Act: exercises.Greet}, exercises.Command{Act: exercises.Ask, What: "consent"},
			exercises.Command{Act: exercises.Measure, What: "arm"}, exercises.Command{Act: exercises.Explain, What: "signals"},
			exercises.Command{Act: exercises.Ask, What: "health"}, exercises.Command{Act: exercises.Metronome, CadenceRPM: 50}),
		"looks all the time": func() habit {
			return change(func(s *exercises.State, c exercises.Command) bool {
				return inStage(exercises.Wait, 0)(s, c) && c.Seconds >= 20
			}, instead(cmd(exercises.Look)))
		},
		"counts a little after the window opens": func() habit {
			return change(func(s *exercises.State, c exercises.Command) bool {
				return inStage(exercises.Count, 0)(s, c) && s.ClockS-s.StageFromS < 110
			}, first(waiting(8)))
		},
		"counts at the neck": func() habit {
			return change(is(exercises.Count, ""), func(_ *exercises.State, c exercises.Command) []exercises.Command {
				c.What = "carotid"
				return []exercises.Command{c}
			})
		},
		"tells the instructor at the end": func() habit {
			return once(change(inRecovery(exercises.Wait), first(exercises.Command{Act: exercises.Call, What: "instructor"})))
		},
		"a second resting pressure": func() habit {
			return once(change(is(exercises.Decide, "test"), instead(exercises.Command{Act: exercises.Pressure, PumpMmHg: 190, ValveMmHgS: 2})))
		},
		"asks for exertion in minute 2 as well": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return inStage(exercises.Wait, 2)(s, c) && s.ClockS-s.StageFromS > 62 && c.Seconds > 10
			}, func(_ *exercises.State, c exercises.Command) []exercises.Command {
				return []exercises.Command{{Act: exercises.Ask, What: "exertion"}, waiting(c.Seconds - 4)}
			}))
		},
		"checks the dial": func() habit {
			return change(inStage(exercises.Check, 0), first(exercises.Command{Act: exercises.Check, What: "dial"}))
		},
		"watches longer": func() habit {
			return once(change(is(exercises.Release, ""), first(waiting(45), exercises.Command{Act: exercises.Ask, What: "symptoms"})))
		},
		"warms up longer": func() habit { return once(change(startsStage(1), first(waiting(30)))) },
		"writes slowly": func() habit {
			return change(func(s *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Write && s.ReleasedAtS < 0
			}, first(waiting(1)))
		},
	}
}

// TestOtherRightWaysLoseNothing plays each other right way on several people. No rule may charge anything for it.
func TestOtherRightWaysLoseNothing(t *testing.T) {
	book := Default()
	for name, way := range otherWays() {
		t.Run(name, func(t *testing.T) {
			acted := 0
			for _, id := range []caseID{well, chest, falls} {
				c := mustCase(t, string(id))
				for seed := range scenarios.Seed(12) {
					st := play(t, book, c, seed, way())
					if st.slips > 0 {
						acted++
					}
					r := Grade(book, st.course(t))
					if *r.Percent == 100 && len(r.Gate) == 0 {
						continue
					}
					t.Errorf("%s seed %d: %.1f %%, gate %q", id, seed, *r.Percent, r.Gate)
					for _, f := range charges(r) {
						t.Log(line(f))
					}
				}
			}
			if acted < 10 {
				t.Errorf("came to act on %d people", acted)
			}
		})
	}
}
