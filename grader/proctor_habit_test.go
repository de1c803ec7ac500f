package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// skip leaves out a command and believes that it was done.
func skip(when func(s *exercises.State, c exercises.Command) bool) habit {
	return func(_ *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		return nil, true, when(s, c)
	}
}

// change gives another command instead of the right one.
func change(when func(s *exercises.State, c exercises.Command) bool, to func(s *exercises.State, c exercises.Command) []exercises.Command) habit {
	return func(_ *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if !when(s, c) {
			return nil, false, false
		}
		return to(s, c), false, true
	}
}

// once makes a habit a single slip.
func once(h habit) habit {
	done := false
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if done {
			return nil, false, false
		}
		instead, believe, acted := h(st, s, c)
		done = done || acted
		return instead, believe, acted
	}
}

func is(act exercises.Act, what string) func(*exercises.State, exercises.Command) bool {
	return func(_ *exercises.State, c exercises.Command) bool {
		return c.Act == act && (what == "" || c.What == what)
	}
}

// inStage is a command of an act in one stage; stage 0 is any.
func inStage(act exercises.Act, stage int) func(*exercises.State, exercises.Command) bool {
	return func(s *exercises.State, c exercises.Command) bool {
		return c.Act == act && s.Stage > 0 && s.EndedAtS < 0 && (stage == 0 || s.Stage == stage)
	}
}

func resting(act exercises.Act, where string) func(*exercises.State, exercises.Command) bool {
	return func(s *exercises.State, c exercises.Command) bool {
		return c.Act == act && s.PedalFromS < 0 && s.Where == where
	}
}

func inRecovery(act exercises.Act) func(*exercises.State, exercises.Command) bool {
	return func(s *exercises.State, c exercises.Command) bool { return c.Act == act && s.EndedAtS >= 0 }
}

// startsStage is the command that begins a stage.
func startsStage(n int) func(*exercises.State, exercises.Command) bool {
	return func(s *exercises.State, c exercises.Command) bool { return c.Act == exercises.Stage && s.Stage == n-1 }
}

// feelsAgain is the longer count after an uneven one.
func feelsAgain(s *exercises.State, c exercises.Command) bool {
	return c.Act == exercises.Count && c.Seconds >= verifyingCountS && s.Stage > 0 && s.EndedAtS < 0
}

func cmd(act exercises.Act) exercises.Command { return exercises.Command{Act: act} }

func waiting(seconds int) exercises.Command {
	return exercises.Command{Act: exercises.Wait, Seconds: seconds}
}

// dawdling reads the dial for so many seconds: unlike a wait it does not end when something is seen.
func dawdling(seconds int) []exercises.Command {
	var all []exercises.Command
	for range seconds / 2 {
		all = append(all, exercises.Command{Act: exercises.Check, What: "dial"})
	}
	return all
}

func loaded(act exercises.Act, kp float64) exercises.Command {
	return exercises.Command{Act: act, ResistanceKp: kp}
}

// harder sets every load from a stage on higher by so much.
func harder(from int, kp float64) habit {
	return change(func(s *exercises.State, c exercises.Command) bool {
		return c.Act == exercises.Stage && s.Stage >= from-1
	},
		func(_ *exercises.State, c exercises.Command) []exercises.Command {
			return []exercises.Command{loaded(exercises.Stage, c.ResistanceKp+kp)}
		})
}

// instead gives fixed commands.
func instead(commands ...exercises.Command) func(*exercises.State, exercises.Command) []exercises.Command {
	return func(*exercises.State, exercises.Command) []exercises.Command { return commands }
}

// first gives fixed commands and then the right one.
func first(commands ...exercises.Command) func(*exercises.State, exercises.Command) []exercises.Command {
	return func(_ *exercises.State, c exercises.Command) []exercises.Command {
		return append(append([]exercises.Command{}, commands...), c)
	}
}

// forgets drops the entries of some keys from what is written, and believes that they stand on the sheet.
func forgets(when func(exercises.Entry) bool) habit {
	return func(st *student, _ *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if c.Act != exercises.Write {
			return nil, false, false
		}
		var keep, lost []exercises.Entry
		for _, e := range c.Entries {
			if when(e) {
				lost = append(lost, e)
			} else {
				keep = append(keep, e)
			}
		}
		if len(lost) == 0 {
			return nil, false, false
		}
		st.believe(exercises.Command{Act: exercises.Write, Entries: lost})
		if len(keep) == 0 {
			return nil, false, true
		}
		return []exercises.Command{{Act: exercises.Write, Entries: keep}}, false, true
	}
}

// miswrites changes the text of entries.
func miswrites(when func(exercises.Entry) bool, to func(string) string) habit {
	return func(st *student, _ *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if c.Act != exercises.Write {
			return nil, false, false
		}
		changed := false
		entries := append([]exercises.Entry{}, c.Entries...)
		for i, e := range entries {
			if when(e) {
				entries[i].Text, changed = to(e.Text), true
			}
		}
		return []exercises.Command{{Act: exercises.Write, Entries: entries}}, false, changed
	}
}

func entryOf(key exercises.Key, stage, minute int) func(exercises.Entry) bool {
	return func(e exercises.Entry) bool {
		return e.Key == key && e.Stage == stage && (minute == 0 || e.Minute == minute)
	}
}

// late writes at the end what belongs before the start.
func late(when func(s *exercises.State, c exercises.Command) bool) habit {
	var owed *exercises.Command
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if owed == nil && when(s, c) {
			kept := c
			owed = &kept
			return nil, true, true
		}
		if owed != nil && c.Act == exercises.HandIn {
			return []exercises.Command{*owed, c}, false, true
		}
		return nil, false, false
	}
}

// reads parses "148/72".
func reads(text string) (sys, dia int) {
	_, _ = fmt.Sscanf(strings.ReplaceAll(text, "/", " "), "%d %d", &sys, &dia)
	return sys, dia
}

// unsettled says whether the last two minutes of the running stage differ by more than the rule allows.
func unsettled(v *sight) bool {
	now, ok := v.stage()
	if !ok {
		return false
	}
	list := v.minutesOf(now.number)
	n := len(list)
	return n >= 2 && !steadyPair(v.book, list[n-2].hr, list[n-1].hr)
}

// calculates changes what is written in the entry that begins with a key; the order of the boxes stays.
func calculates(begins exercises.Key, to func(*sight, map[exercises.Key]string)) habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		if c.Act != exercises.Write || c.Entries[0].Key != begins || begins == exercises.KeyPoints && len(strings.Fields(c.Entries[0].Text)) < 2 {
			return nil, false, false
		}
		boxes := map[exercises.Key]string{}
		for _, e := range c.Entries {
			boxes[e.Key] = e.Text
		}
		to(st.proctor.see(s), boxes)
		entries := append([]exercises.Entry{}, c.Entries...)
		changed := false
		for i := range entries {
			changed = changed || entries[i].Text != boxes[entries[i].Key]
			entries[i].Text = boxes[entries[i].Key]
		}
		return []exercises.Command{{Act: exercises.Write, Entries: entries}}, false, changed
	}
}

func parsed(text string) float64 {
	var x float64
	_, _ = fmt.Sscan(text, &x)
	return x
}

// afterWorkRate works on from a wrong maximal work rate, rightly.
func afterWorkRate(v *sight, e map[exercises.Key]string, w float64) {
	w = unit.Round(w, 0)
	e[exercises.KeyMaxWorkRate] = number(w, 0)
	mass := v.person().Mass
	afterUptake(v, e, float64(v.book.O2Cost.VO2(unit.WorkRate(w), mass).Per(mass)))
}

// afterUptake works on from a wrong uptake, rightly.
func afterUptake(v *sight, e map[exercises.Key]string, rel float64) {
	rel = unit.Round(rel, 1)
	who := v.person()
	e[exercises.KeyVO2Rel] = number(rel, 1)
	e[exercises.KeyVO2Abs] = number(rel*float64(who.Mass)/1000, 2)
	e[exercises.KeyMETs] = number(rel/3.5, 1)
	e[exercises.KeyRating] = v.book.NormTable().Category(who.Sex, who.Age, unit.RelVO2(rel))
}
