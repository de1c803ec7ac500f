package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// habits are the mistakes by name; each is a fresh habit, because a slip remembers that it was made.
func habits() map[string]func() habit {
	at := func(t int) func(s *exercises.State, c exercises.Command) bool { // first command at or after t s of stage 2
		return func(s *exercises.State, _ exercises.Command) bool {
			return s.Stage == 2 && s.EndedAtS < 0 && s.ClockS-s.StageFromS >= t
		}
	}
	stops := func(s *exercises.State, c exercises.Command) bool { return c.Act == exercises.Stop && s.EndedAtS < 0 }
	planned := func(s *exercises.State, c exercises.Command) bool { return c.Act == exercises.CoolDown }
	return map[string]func() habit{
		"none":                 func() habit { return nil },
		"no brake check":       func() habit { return skip(is(exercises.Check, "brake")) },
		"scale not explained":  func() habit { return skip(is(exercises.Explain, "scale")) },
		"no health questions":  func() habit { return skip(is(exercises.Ask, "health")) },
		"no consent":           func() habit { return skip(is(exercises.Ask, "consent")) },
		"arm not measured":     func() habit { return skip(is(exercises.Measure, "arm")) },
		"saddle not looked at": func() habit { return skip(is(exercises.Saddle, "")) },
		"wrong cuff": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				return []exercises.Command{{Act: exercises.Cuff, What: "thigh"}}, true, c.Act == exercises.Cuff
			}
		},
		"rest cut short": func() habit {
			return once(change(is(exercises.Rest, ""), instead(exercises.Command{Act: exercises.Rest, Seconds: 30}, exercises.Command{Act: exercises.Count, Seconds: 30})))
		},
		"no resting pressure":  func() habit { return skip(resting(exercises.Pressure, "chair")) },
		"no baseline pressure": func() habit { return skip(resting(exercises.Pressure, "cycle")) },
		"ceiling worked out late": func() habit {
			return late(func(_ *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Write && len(c.Entries) > 5 && c.Entries[0].Key == exercises.KeyAge
			})
		},
		"metronome silent": func() habit { return skip(is(exercises.Metronome, "")) },
		"warm-up cut short": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Wait && s.PedalFromS >= 0 && s.Stage == 0
			},
				instead(waiting(20), loaded(exercises.Stage, 0.5))))
		},
		"first load doubled": func() habit {
			return once(change(startsStage(1), instead(loaded(exercises.Stage, 1))))
		},
		"minute 2 not counted": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Count && s.Stage == 1 && s.ClockS-s.StageFromS > 90
			}, instead(waiting(48))))
		},
		"unsteady accepted": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				if now, ok := v.stage(); c.Act != exercises.Extend || ok && v.pressureOwed(now) || !unsettled(v) {
					return nil, false, false
				}
				due := v.nextLoad(s.Stage + 1)
				return []exercises.Command{loaded(exercises.Stage, float64(due.Resistance(st.book.Cadence)))}, false, true
			})
		},
		"needless minute": func() habit { return once(change(startsStage(2), instead(cmd(exercises.Extend)))) },
		"one minute too many": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				return []exercises.Command{cmd(exercises.Extend)}, false, (c.Act == exercises.Stage || c.Act == exercises.CoolDown) && s.Stage > 0 && s.Extensions >= st.book.MaxExtensions &&
					unsettled(st.proctor.see(s))
			})
		},
		"column too high": func() habit { return harder(2, 0.5) },
		"column too low":  func() habit { return harder(2, -0.5) },
		"a load left out": func() habit { return harder(3, 0.5) },
		"dial turned": func() habit {
			return once(change(at(70), func(s *exercises.State, c exercises.Command) []exercises.Command {
				return []exercises.Command{loaded(exercises.Resistance, s.ResistanceKp+0.25), c}
			}))
		},
		"5 kp for 0.5": func() habit {
			return once(change(startsStage(1), instead(loaded(exercises.Stage, 5), waiting(4), loaded(exercises.Resistance, 0.5))))
		},
		"cadence unchecked": func() habit { return skip(is(exercises.Check, "cadence")) },
		"counted after the end": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if c.Act != exercises.Count || s.Stage < 3 || s.EndedAtS >= 0 || s.ClockS-s.StageFromS < 150 {
					return nil, false, false
				}
				return []exercises.Command{{Act: exercises.Ask, What: "exertion"}, loaded(exercises.CoolDown, 0.5), {Act: exercises.Count, Seconds: 15},
					{Act: exercises.Write, Entries: []exercises.Entry{{Key: exercises.KeyBeats, Text: "30", Stage: s.Stage, Minute: 3}, {Key: exercises.KeyHR, Text: "120", Stage: s.Stage, Minute: 3}}}}, false, true
			})
		},
		"ended after stage 2":  func() habit { return once(change(startsStage(3), instead(loaded(exercises.CoolDown, 0.5)))) },
		"stopped for nothing":  func() habit { return once(change(at(70), instead(cmd(exercises.Stop)))) },
		"no pressure, stage 2": func() habit { return skip(inStage(exercises.Pressure, 2)) },
		"pressure too early": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return s.Stage == 2 && s.EndedAtS < 0 && s.ClockS-s.StageFromS < 8 && c.Act == exercises.Look
			},
				func(s *exercises.State, c exercises.Command) []exercises.Command {
					return []exercises.Command{{Act: exercises.Pressure, PumpMmHg: 220, ValveMmHgS: 3}}
				}))
		},
		"valve wide open": func() habit {
			return once(change(resting(exercises.Pressure, "cycle"), func(_ *exercises.State, c exercises.Command) []exercises.Command {
				c.ValveMmHgS = 8
				return []exercises.Command{c}
			}))
		},
		"pumped too little": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if !inStage(exercises.Pressure, 2)(s, c) {
					return nil, false, false
				}
				last, _ := st.proctor.see(s).cuffOf(1)
				c.PumpMmHg = int(0.8 * float64(last.sounds.Systolic)) // below the systolic even of the stage before
				return []exercises.Command{c}, true, true
			})
		},
		"diastolic misheard": func() habit {
			return miswrites(entryOf(exercises.KeyBP, 1, 0), func(text string) string {
				sys, dia := reads(text)
				return fmt.Sprintf("%d/%d", sys, dia-26)
			})
		},
		"beats miscounted": func() habit {
			return func(st *student, _ *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if c.Act != exercises.Write || c.Entries[0].Key != exercises.KeyBeats || c.Entries[0].Stage != 1 || c.Entries[0].Minute != 1 {
					return nil, false, false
				}
				n, _ := reads(c.Entries[0].Text)
				entries := append([]exercises.Entry{}, c.Entries...)
				entries[0].Text, entries[1].Text = fmt.Sprint(n+5), fmt.Sprint(4*(n+5))
				return []exercises.Command{{Act: exercises.Write, Entries: entries}}, false, true
			}
		},
		"multiplied wrongly": func() habit {
			return miswrites(entryOf(exercises.KeyHR, 1, 1), func(text string) string { n, _ := reads(text); return fmt.Sprint(n + 10) })
		},
		"exertion never asked": func() habit { return skip(is(exercises.Ask, "exertion")) },
		"load not written": func() habit {
			return forgets(func(e exercises.Entry) bool { return e.Key == exercises.KeyResistance && e.Stage == 2 })
		},
		"pressure not written": func() habit { return forgets(entryOf(exercises.KeyBP, 2, 0)) },
		"reason not written":   func() habit { return forgets(func(e exercises.Entry) bool { return e.Key == exercises.KeyReason }) },
		"never looked":         func() habit { return skip(inStage(exercises.Look, 0)) },
		"never asked": func() habit {
			return skip(func(s *exercises.State, c exercises.Command) bool {
				return inStage(exercises.Ask, 0)(s, c) && c.What == "symptoms"
			})
		},
		"counted too early": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Wait && s.Stage == 1 && s.EndedAtS < 0 && s.ClockS-s.StageFromS < 60
			}, func(s *exercises.State, c exercises.Command) []exercises.Command {
				return []exercises.Command{waiting(max(1, c.Seconds-18)), {Act: exercises.Count, Seconds: 15}}
			}))
		},
		"recovery pulse left out": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return inRecovery(exercises.Count)(s, c) && s.ClockS-s.EndedAtS > 60
			}, instead(waiting(20))))
		},
		"left after the cool-down": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return inRecovery(exercises.Wait)(s, c) && !s.Pedalling && s.ClockS-s.EndedAtS > 185
			},
				instead(exercises.Command{Act: exercises.Tell, What: "doctor"}, cmd(exercises.Release))))
		},
		"cool-down at 2 kp": func() habit { return change(planned, instead(loaded(exercises.CoolDown, 2))) },
		"stopped dead":      func() habit { return change(planned, instead(cmd(exercises.Stop))) },
		"let go too soon": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				late := s.EndedAtS >= 0 && !s.Pedalling && s.ClockS-s.EndedAtS >= 340 && c.Act == exercises.Wait && s.ReleasedAtS < 0
				if !late {
					return nil, false, false
				}
				_, may := st.proctor.see(s).mayGo()
				return []exercises.Command{{Act: exercises.Tell, What: "doctor"}, cmd(exercises.Release)}, false, !may
			})
		},
		"called nobody": func() habit {
			return skip(func(_ *exercises.State, c exercises.Command) bool {
				return c.Act == exercises.Call && c.What != "defibrillator"
			})
		},
		"tested anyway": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if st.deaf || c.Act != exercises.Decide {
					return nil, false, false
				}
				st.deaf = true
				return []exercises.Command{waiting(1)}, false, true
			}
		},
		"sent home for nothing": func() habit {
			return change(is(exercises.Decide, "test"), instead(exercises.Command{Act: exercises.Decide, What: "postpone"}))
		},
		"decided on one reading": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				_, cuffs := v.restingSince(v.lastAt[stepDone{exercises.Seat, "chair"}])
				return []exercises.Command{{Act: exercises.Decide, What: "postpone"}}, false, c.Act == exercises.Rest && len(cuffs) > 0
			}
		},
		"went on at the ceiling": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if _, over := st.proctor.see(s).overCeiling(); c.Act != exercises.CoolDown || !over {
					return nil, false, false
				}
				return []exercises.Command{loaded(exercises.Stage, s.ResistanceKp+0.5), waiting(20), loaded(exercises.CoolDown, 0.5)}, false, true
			})
		},
		"went on above the limit": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				k, ok := st.proctor.see(s).cuffOf(s.Stage)
				if c.Act != exercises.CoolDown || !ok || k.sounds.Systolic <= st.book.Stop.SystolicMax || s.ClockS-s.StageFromS < 175 {
					return nil, false, false
				}
				return []exercises.Command{{Act: exercises.Count, Seconds: 15}, {Act: exercises.Ask, What: "exertion"}, loaded(exercises.Stage, s.ResistanceKp+0.5), waiting(20), loaded(exercises.CoolDown, 0.5)}, false, true
			})
		},
		"miscounted at the ceiling": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				_, over := v.overCeiling()
				if c.Act != exercises.CoolDown || !over {
					return nil, false, false
				}
				last := v.counts[len(v.counts)-1]
				for beats := 3; beats < 20; beats++ { // as many as it takes to hide it
					if st.dull[last.from] == 0 && last.hr-unit.HR(4*beats) < v.ceiling() {
						st.dull[last.from] = beats
						return []exercises.Command{waiting(1)}, false, true
					}
				}
				return nil, false, false // it cannot be hidden
			}
		},
		"misheard the resting pressure": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				if s.PedalFromS >= 0 || len(v.cuffs) == 0 || c.Act != exercises.Write || c.Entries[0].Key != exercises.KeyBP || st.dull[v.cuffs[len(v.cuffs)-1].from] > 0 {
					return nil, false, false
				}
				st.dull[v.cuffs[len(v.cuffs)-1].from] = 24
				return []exercises.Command{waiting(1)}, false, true
			}
		},
		"urged on": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				return append(dawdling(150), c), false, c.Act == exercises.CoolDown || c.Act == exercises.Stop && s.EndedAtS < 0
			})
		},
		"age misread": func() habit {
			return func(st *student, _ *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if st.older > 0 || c.Act != exercises.Greet {
					return nil, false, false
				}
				st.older = 2
				return []exercises.Command{c}, false, true
			}
		},
		"ceiling at the maximum": func() habit {
			return calculates(exercises.KeyAge, func(_ *sight, e map[exercises.Key]string) {
				e[exercises.KeyCeiling], e[exercises.KeyCeilingCount] = e[exercises.KeyMaxHR], number(parsed(e[exercises.KeyMaxHR])/4, 1)
			})
		},
		"ceiling as a 10-s count": func() habit {
			return calculates(exercises.KeyAge, func(_ *sight, e map[exercises.Key]string) {
				e[exercises.KeyCeilingCount] = number(parsed(e[exercises.KeyCeiling])/6, 1)
			})
		},
		"stage 1 as a point": func() habit {
			return calculates(exercises.KeyPoints, func(v *sight, e map[exercises.Key]string) {
				a := v.answer()
				first, last := a.Points[0], a.Points[len(a.Points)-1]
				if first.Used {
					return
				}
				e[exercises.KeyPoints] = fmt.Sprintf("1 %d", last.Stage)
				slope := float64(last.HR-first.HR) / float64(last.WorkRate-first.WorkRate)
				e[exercises.KeySlope] = figures(slope, 3)
				afterWorkRate(v, e, float64(last.WorkRate)+float64(a.MaxHR-last.HR)/slope)
			})
		},
		"line read at the ceiling": func() habit {
			return calculates(exercises.KeyPoints, func(v *sight, e map[exercises.Key]string) {
				a := v.answer()
				afterWorkRate(v, e, (float64(a.Ceiling)-a.Intercept)/a.Slope)
			})
		},
		"resting 7 left out": func() habit {
			return calculates(exercises.KeyPoints, func(v *sight, e map[exercises.Key]string) { afterUptake(v, e, parsed(e[exercises.KeyVO2Rel])-7) })
		},
		"millilitres for litres": func() habit {
			return calculates(exercises.KeyPoints, func(_ *sight, e map[exercises.Key]string) {
				e[exercises.KeyVO2Abs] = number(1000*parsed(e[exercises.KeyVO2Abs]), 0)
			})
		},
		"METs multiplied": func() habit {
			return calculates(exercises.KeyPoints, func(_ *sight, e map[exercises.Key]string) {
				e[exercises.KeyMETs] = number(3.5*parsed(e[exercises.KeyVO2Rel]), 1)
			})
		},
		"another class": func() habit {
			return calculates(exercises.KeyPoints, func(_ *sight, e map[exercises.Key]string) {
				if e[exercises.KeyRating] == "very poor" {
					e[exercises.KeyRating] = "excellent"
				} else {
					e[exercises.KeyRating] = "very poor"
				}
			})
		},
		"too narrow a range": func() habit {
			return calculates(exercises.KeyPoints, func(_ *sight, e map[exercises.Key]string) { e[exercises.KeyErrorRange] = "5" })
		},
		"no estimate though there is one": func() habit {
			return func(_ *student, _ *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				return []exercises.Command{{Act: exercises.Write, Entries: []exercises.Entry{{Key: exercises.KeyNoEstimate, Text: "the stages do not fit"}}}}, false,
					c.Act == exercises.Write && c.Entries[0].Key == exercises.KeyPoints
			}
		},
		"stopped 20 s late": func() habit { return once(change(stops, first(dawdling(20)...))) },
		"stopped a minute late": func() habit {
			return once(change(stops, first(dawdling(60)...)))
		},
		"cooled down instead of stopping": func() habit { return once(change(stops, instead(loaded(exercises.CoolDown, 0.5)))) },
		"raised the load instead of stopping": func() habit {
			return once(change(stops, func(s *exercises.State, c exercises.Command) []exercises.Command {
				return []exercises.Command{loaded(exercises.Stage, s.ResistanceKp+0.5), c}
			}))
		},
		"scale not read": func() habit { return skip(is(exercises.Check, "dial")) },
		"went on with a slipped brake": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if c.Act != exercises.Resistance || s.Stage == 0 {
					return nil, false, false
				}
				// Sees on the scale what was set.
				st.beliefs = append(st.beliefs, exercises.Event{AtS: s.ClockS, Fact: exercises.Measured{What: "dial_kp", Value: s.ResistanceKp}})
				return nil, false, true
			}
		},
		"ended on one uneven count": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				doubt, _, _ := st.proctor.see(s).doubtIn(s.Stage, unevenPulse)
				other, _, _ := st.proctor.see(s).doubtIn(s.Stage, flatRate)
				return []exercises.Command{loaded(exercises.CoolDown, 0.5)}, false, doubt != nil && other == nil && feelsAgain(s, c)
			})
		},
		"ended on one flat rate": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				doubt, _, _ := st.proctor.see(s).doubtIn(s.Stage, flatRate)
				return []exercises.Command{loaded(exercises.CoolDown, 0.5)}, false, doubt != nil && feelsAgain(s, c)
			})
		},
		"held nobody": func() habit { return skip(is(exercises.Steady, "")) },
		"laid flat with pain in the chest": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return inRecovery(exercises.Seat)(s, c) && c.What == "chair"
			}, instead(exercises.Command{Act: exercises.Seat, What: "lying"})))
		},
		"no defibrillator":    func() habit { return skip(is(exercises.Call, "defibrillator")) },
		"went for help":       func() habit { return once(change(inRecovery(exercises.Wait), instead(cmd(exercises.Leave)))) },
		"handed nothing over": func() habit { return forgets(func(e exercises.Entry) bool { return e.Key == exercises.KeyHandOver }) },
		"told nothing":        func() habit { return skip(is(exercises.Tell, "")) },
		"named an illness": func() habit {
			return once(change(is(exercises.Tell, ""), first(exercises.Command{Act: exercises.Tell, What: "cause"})))
		},
		"spoke against a medicine": func() habit {
			return once(change(is(exercises.Tell, ""), first(exercises.Command{Act: exercises.Tell, What: "medicine"})))
		},
		"ended on one low pressure": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				a, ok := v.pressureDuty()
				if c.Act != exercises.Pressure || !ok || a.command.Act != exercises.Pressure {
					return nil, false, false
				}
				return nil, true, true
			}
		},
	}
}
