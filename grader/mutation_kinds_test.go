package grader

import (
	"math"
	"slices"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

const (
	breath  caseID = "sunday-three"
	tired   caseID = "monday-eight"
	leg     caseID = "thursday-two"
	pressor caseID = "monday-eleven"
)

// moreMistakes are the kinds that the study plants besides those of mistakes: signs and doubts passed over, and slips of the calculation that
// teachers meet.
var moreMistakes = []mistake{
	{"signals not explained", well, "", "explained", false},
	{"metronome at 60", well, "", "metronome", false},
	{"tested in spite of a high pressure", well, "screening.postpone_from_sbp_mmhg=108", "screen-decision", true},
	{"repeated without more rest", well, "screening.postpone_from_sbp_mmhg=108", "rest-repeat", false},
	{"stage cut short", well, "", "steady-accepted", false},
	{"urged on for 20 s", tired, "", "asked-to-stop", false},
	{"urged on at a higher load", tired, "", "asked-to-stop", true},
	{"went on with short breath", breath, "", "end-sign", true},
	{"went on with a leg in pain", leg, "", "end-sign", true},
	{"went on above the pressure limit", pressor, "", "pressure-limit", true},
	{"a fall of pressure not repeated", falls, "", "verify-pressure", true},
	{"went on after a confirmed fall", "saturday-four", "", "verify-pressure", true},
	{"went on after a confirmed uneven pulse", uneven, "ceiling.fraction=0.98", "verify-rhythm", true},
	{"went on after a confirmed flat rate", behind, "ceiling.fraction=0.98", "verify-rate", true},
	{"cool-down of a minute", well, "", "cool-down", false},
	{"no pressure in the recovery", well, "", "recovery-watched", false},
	{"no pulse in the recovery", well, "", "recovery-watched", false},
	{"multiplied by 6", well, "", "sum-heart-rates", false},
	{"another equation for the maximum", well, "", "sum-max-hr", false},
	{"mass in pounds", well, "", "sum-vo2-rel", false},
	{"only 3.5 for rest", well, "", "sum-vo2-rel", false},
	{"watts for kg·m/min", well, "", "sum-vo2-rel", false},
}

// eitherGate are the kinds that close the gate in some people only: a fall that was truly the person's own, and the load raised after it; a test on
// two high readings, where a third on the cycle was not below the limit.
var eitherGate = map[string]bool{"a fall of pressure not repeated": true, "tested in spite of a high pressure": true}

// leftOpen are the kinds that are no mistake in some people, by the numbers of the attempt itself; such attempts are not counted.
var leftOpen = map[string]func(b Rulebook, c *Course) bool{
	// Both equations give the same number within the tolerance.
	"another equation for the maximum": func(b Rulebook, c *Course) bool {
		return math.Abs(12-0.3*float64(c.Header.Subject.AgeY)) <= b.Tolerances.StageHR.Full
	},
	// It was mended at the same load: the low reading looked like a fall, and its repeat was pumped higher, or the test ended before it could be.
	"pumped too little": func(_ Rulebook, c *Course) bool {
		for i, k := range c.Cuffs {
			if _, low := pumpedBelow(c, i); !low || k.Stage != 2 {
				continue
			}
			for _, again := range c.Cuffs[i+1:] {
				if again.Stage == 2 && again.Top > k.Top {
					return true
				}
			}
			return raisedAfter(c, k.ToS) < 0 && c.EndedAtS <= k.ToS+againWithin
		}
		return false
	},
	// What is wrong shows by itself before the repeat was due.
	"a fall of pressure not repeated": func(b Rulebook, c *Course) bool {
		f, ok := fallOf(b, c)
		for _, s := range c.Closing.Signs {
			if ok && isEmergency(body.Sign(s.Sign), s.Grade) && c.EndedAtS-f.first.KnownS <= b.Stop.VerifyBeginS && s.FromS <= c.EndedAtS {
				return raisedAfter(c, f.first.KnownS) < 0
			}
		}
		return false
	},
	// A beat nearer to the ceiling than the count can tell: the end is right.
	"ended after stage 2": func(b Rulebook, c *Course) bool {
		ceiling, ok := houseCeiling(b, c)
		return ok && slices.ContainsFunc(c.Counts, func(k Count) bool {
			return k.Stage > 0 && whole(k) && float64(k.Reading())+60/float64(k.Seconds) >= float64(ceiling)
		})
	},
	// Beats were missed in it, and it was counted again at the mark.
	"counted too early": func(_ Rulebook, c *Course) bool {
		first := slices.IndexFunc(c.Counts, func(k Count) bool { return k.Stage == 1 && whole(k) })
		return first >= 0 && first+1 < len(c.Counts) && c.Counts[first+1].FromS < c.Counts[first].ToS+10
	},
	// Somebody had been called for what the test showed, and was there.
	"let go too soon": func(_ Rulebook, c *Course) bool { return len(c.Called) > 0 },
	// The last resting reading, on the cycle, was below the limit by its sounds: one high reading, repeated.
	"misheard the resting pressure": func(b Rulebook, c *Course) bool {
		below := false
		for _, k := range c.Cuffs {
			if k.Sounded && k.ToS <= c.PedalAtS {
				below = k.Systolic < b.Screening.PostponeSBP
			}
		}
		return below
	},
}

// mistakeKinds are all kinds of mistake that the study plants.
func mistakeKinds() []mistake { return append(append([]mistake{}, mistakes...), moreMistakes...) }

// habitOf is the fresh habit of a kind.
func habitOf(kind string) habit {
	if h, ok := habits()[kind]; ok {
		return h()
	}
	return moreHabits()[kind]()
}

// goesOn raises the load instead of an end that is due for a reason, and ends the test 20 s later.
func goesOn(due func(v *sight) bool) func() habit {
	return func() habit {
		return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
			if c.Act != exercises.CoolDown || s.EndedAtS >= 0 || s.Stage == 0 || !due(st.proctor.see(s)) {
				return nil, false, false
			}
			return []exercises.Command{loaded(exercises.Stage, s.ResistanceKp+0.5), waiting(20), loaded(exercises.CoolDown, 0.5)}, false, true
		})
	}
}

// showing says whether a sign of a kind was met, and none of an emergency.
func showing(kind func(body.Sign, int) bool) func(v *sight) bool {
	return func(v *sight) bool {
		_, shown := v.signOf(kind, v.pedalAt)
		_, danger := v.signOf(isEmergency, v.pedalAt)
		return shown && !danger
	}
}

func moreHabits() map[string]func() habit {
	asked := func(v *sight) bool { return showing(asksToStop)(v) }
	uptake := func(to func(v *sight, e map[exercises.Key]string) float64) func() habit {
		return func() habit {
			return calculates(exercises.KeyPoints, func(v *sight, e map[exercises.Key]string) { afterUptake(v, e, to(v, e)) })
		}
	}
	return map[string]func() habit{
		"signals not explained": func() habit { return skip(is(exercises.Explain, "signals")) },
		"metronome at 60": func() habit {
			return once(change(is(exercises.Pedal, ""), first(exercises.Command{Act: exercises.Metronome, CadenceRPM: 60})))
		},
		"tested in spite of a high pressure": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if c.Act != exercises.Decide || c.What == "test" || c.What == "refer" || s.PedalFromS >= 0 {
					return nil, false, false
				}
				v := st.proctor.see(s)
				for _, k := range v.cuffs {
					if high, _ := v.restLevel(k); high {
						st.dull[k.from] += 40 // will not have it
					}
				}
				return []exercises.Command{waiting(1)}, false, true
			}
		},
		"repeated without more rest": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				_, cuffs := v.restingSince(v.lastAt[stepDone{exercises.Seat, s.Where}])
				if c.Act != exercises.Rest || c.Seconds < 30 || s.PedalFromS >= 0 || v.highIn(cuffs) != 1 {
					return nil, false, false
				}
				return []exercises.Command{v.inflate("").command}, false, true
			}
		},
		"stage cut short": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				t := s.ClockS - s.StageFromS
				if s.Stage != 2 || s.EndedAtS >= 0 || t < 124 || t > 150 || c.Act == exercises.Write {
					return nil, false, false
				}
				due := st.proctor.see(s).nextLoad(3)
				return []exercises.Command{loaded(exercises.Stage, float64(due.Resistance(st.book.Cadence)))}, false, true
			})
		},
		"urged on for 20 s": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				return append(dawdling(20), c), false, c.Act == exercises.CoolDown && s.EndedAtS < 0 && asked(st.proctor.see(s))
			})
		},
		"urged on at a higher load":  goesOn(asked),
		"went on with short breath":  goesOn(showing(isEnd)),
		"went on with a leg in pain": goesOn(showing(isEnd)),
		"went on above the pressure limit": goesOn(func(v *sight) bool {
			return v.tooHigh() && !showing(isEnd)(v)
		}),
		"a fall of pressure not repeated": func() habit {
			return once(func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				v := st.proctor.see(s)
				a, ok := v.pressureDuty()
				if c.Act != exercises.Pressure || !ok || a.command.Act != exercises.Pressure {
					return nil, false, false
				}
				before, _ := v.cuffBefore(s.Stage)
				for _, e := range s.Events { // takes the low one for a slip of the ear, and the one before for what is so
					if k, is := e.Fact.(exercises.CuffFell); is && k.FromS == before.from {
						k.FromS = s.ClockS
						st.beliefs = append(st.beliefs, exercises.Event{AtS: s.ClockS, Fact: k})
					}
				}
				st.believe(exercises.Command{Act: exercises.Write, Entries: []exercises.Entry{{Key: exercises.KeyBP, Stage: s.Stage}}})
				return []exercises.Command{waiting(1)}, false, true
			})
		},
		"went on after a confirmed fall": goesOn(func(v *sight) bool {
			_, fell := v.confirmedFall()
			return fell && !showing(isEnd)(v)
		}),
		"went on after a confirmed uneven pulse": goesOn(func(v *sight) bool {
			_, _, confirmed := v.doubtIn(v.stages[len(v.stages)-1].number, unevenPulse)
			_, _, other := v.doubtIn(v.stages[len(v.stages)-1].number, flatRate)
			return confirmed && !other && !showing(isEnd)(v)
		}),
		"went on after a confirmed flat rate": goesOn(func(v *sight) bool {
			_, _, confirmed := v.doubtIn(v.stages[len(v.stages)-1].number, flatRate)
			_, _, other := v.doubtIn(v.stages[len(v.stages)-1].number, unevenPulse)
			return confirmed && !other && !showing(isEnd)(v)
		}),
		"cool-down of a minute": func() habit {
			return once(change(func(s *exercises.State, c exercises.Command) bool {
				return inRecovery(exercises.Wait)(s, c) && s.Pedalling && s.ClockS-s.EndedAtS >= 60
			}, instead(cmd(exercises.Stop))))
		},
		"no pressure in the recovery": func() habit { return skip(inRecovery(exercises.Pressure)) },
		"no pulse in the recovery":    func() habit { return skip(inRecovery(exercises.Count)) },
		"multiplied by 6": func() habit {
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				by6 := func(text string) float64 { n, _ := reads(text); return float64(n) * 6 / 4 }
				if c.Act == exercises.Write && len(c.Entries) > 1 && by6(c.Entries[1].Text) >= float64(st.proctor.see(s).ceiling()) {
					return nil, false, false // at the ceiling by the sheet, where to go on would be another mistake
				}
				return miswrites(entryOf(exercises.KeyHR, 1, 1), func(text string) string { return number(by6(text), 0) })(st, s, c)
			}
		},
		"another equation for the maximum": func() habit {
			maximum := func(v *sight) float64 { return 208 - 0.7*float64(v.person().Age) }
			beforehand := calculates(exercises.KeyAge, func(v *sight, e map[exercises.Key]string) {
				most := maximum(v)
				e[exercises.KeyMaxHR], e[exercises.KeyCeiling] = number(most, 1), number(0.85*most, 2)
				e[exercises.KeyCeilingCount] = number(0.85*most*float64(v.book.Count.Seconds)/60, 1)
			})
			after := calculates(exercises.KeyPoints, func(v *sight, e map[exercises.Key]string) {
				a := v.answer()
				afterWorkRate(v, e, (maximum(v)-a.Intercept)/a.Slope)
			})
			return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
				if given, believe, acted := beforehand(st, s, c); acted {
					return given, believe, true
				}
				return after(st, s, c)
			}
		},
		"mass in pounds": uptake(func(_ *sight, e map[exercises.Key]string) float64 {
			return (parsed(e[exercises.KeyVO2Rel])-7)/2.2046 + 7
		}),
		"only 3.5 for rest": uptake(func(_ *sight, e map[exercises.Key]string) float64 { return parsed(e[exercises.KeyVO2Rel]) - 3.5 }),
		"watts for kg·m/min": uptake(func(v *sight, e map[exercises.Key]string) float64 {
			return 1.8*parsed(e[exercises.KeyMaxWorkRate])/v.book.KgmMinPerWatt/float64(v.person().Mass) + 7
		}),
	}
}
