package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// Instead begins to compare a command with what is acceptable at a state. Call it before the command is done, and the function that it returns
// afterwards: that gives what should have been done, first duty first, or nothing when the command was acceptable or did no harm. Whether a wait
// was too long is known only when it is over, and one that ended early never was. A wait that is advised here means to go on as before.
func (p *Proctor) Instead(s *exercises.State, c exercises.Command) (judge func() []Advice) {
	list := p.Acceptable(s)
	if len(list) == 0 {
		return func() []Advice { return nil }
	}
	v := p.see(s)
	if _, asked := v.signOf(asksToStop, v.pedalAt); c.Act == exercises.Stop && list[0].Act == exercises.CoolDown && !asked {
		list = list[:1] // at once is for somebody who will not go on
	}
	if offers(list, c) {
		return func() []Advice { return nil }
	}
	if c.Act == exercises.Wait || c.Act == exercises.Rest {
		return p.overstayed(v, s, c, list)
	}
	wrong := v.instead(c, list)
	return func() []Advice { return wrong }
}

// offers says whether a command is one of those advised, and with the load that is advised.
func offers(list []Advice, c exercises.Command) bool {
	for _, a := range list {
		switch {
		case a.Act != c.Act:
		case c.Act == exercises.Stage:
			if a.ResistanceKp == c.ResistanceKp {
				return true
			}
		case c.Act == exercises.CoolDown || c.Act == exercises.Resistance:
			if c.ResistanceKp <= a.ResistanceKp {
				return true
			}
		case c.Act == exercises.Count || c.Act == exercises.Write || c.Act == exercises.Look || a.What == c.What:
			return c.Act != exercises.Wait && c.Act != exercises.Rest
		}
	}
	return false
}

// instead is what should have been done in the place of a command that is not among those advised; nothing when it does no harm.
func (v *sight) instead(c exercises.Command, list []Advice) []Advice {
	switch {
	case c.Act == exercises.Metronome && c.CadenceRPM != float64(v.book.Cadence) && v.endedAt < 0:
		return []Advice{{exercises.Metronome, "", 0, fmt.Sprintf("The work rates of the table hold at %.0f rpm.", v.book.Cadence), "PRACTICE-ORDER"}}
	case c.Act == exercises.Write || c.Act == exercises.Strike || c.Act == exercises.HandIn:
		return nil
	case v.releasedAt >= 0:
		return nil
	case v.endedAt >= 0:
		return v.insteadInRecovery(c, list)
	case v.pedalAt < 0:
		return v.insteadBefore(c, list)
	}
	if _, pressing := v.urgent(); pressing {
		return list
	}
	return v.insteadAtWork(c, list)
}

// insteadBefore judges what is done before the first turn of the pedals, where the order is mostly free.
func (v *sight) insteadBefore(c exercises.Command, list []Advice) []Advice {
	switch c.Act {
	case exercises.Pedal, exercises.Release:
		return list
	case exercises.Decide:
		return v.insteadOfDeciding(c, list)
	case exercises.Count, exercises.Time, exercises.Pressure:
		if list[0].Act == exercises.Rest {
			return list[:1]
		}
	case exercises.Cuff:
		arm, known := v.values["arm_cm"]
		if !known {
			return []Advice{{exercises.Measure, "arm", 0, "The cuff goes by the girth of the arm.", "PICKERING2005"}}
		}
		if fit := instrument.FittingCuff(unit.Girth(arm)); c.What != string(fit) {
			return []Advice{{exercises.Cuff, string(fit), 0, fmt.Sprintf("The arm measures %.1f cm.", arm), "PICKERING2005"}}
		}
	}
	return nil
}

// insteadOfDeciding judges a decision of the screening: what it rests on comes first.
func (v *sight) insteadOfDeciding(c exercises.Command, list []Advice) []Advice {
	counts, cuffs := v.restingSince(0)
	switch {
	case c.What == "rest" || list[0].Act == exercises.Write:
		return nil
	case list[0].Act == exercises.Decide:
		return list[:1]
	case !v.did(exercises.Ask, "health"):
		return []Advice{{exercises.Ask, "health", 0, "The health questions come before any decision.", "PARQ2011"}}
	case v.flagged != "":
		if c.What == "refer" {
			return nil
		}
		return []Advice{{exercises.Decide, "refer", 0, fmt.Sprintf("“%s” — this needs a physician's word first.", brief(v.flagged)), "PARQ2011"}}
	case len(counts) == 0:
		return []Advice{{exercises.Count, "", 0, "The resting pulse comes before the decision.", "CHOICE-REST-LIMITS"}}
	case len(cuffs) == 0:
		return []Advice{{exercises.Pressure, "", 0, "The resting pressure comes before the decision.", "CHOICE-REST-LIMITS"}}
	}
	return list[:1]
}

// insteadAtWork judges what is done in the warm-up and in a stage while nothing presses.
func (v *sight) insteadAtWork(c exercises.Command, list []Advice) []Advice {
	first := list[0]
	now, working := v.stage()
	ending := false
	if working {
		ending = v.nextMinute(v.minutesOf(now.number), v.now-now.from) > v.book.StageS/60+now.extensions
	}
	// At the end of a stage a look, a question or a line on the sheet may come after the decision, which then cannot be judged from the advice.
	asYouGo := ending && (first.Act == exercises.Look || first.Act == exercises.Write || first.Act == exercises.Ask && first.What == "symptoms")
	switch c.Act {
	case exercises.Stage:
		if working && c.ResistanceKp != float64(v.nextLoad(now.number+1).Resistance(v.book.Cadence)) && (asYouGo || first.Act == exercises.Stage) {
			due := v.nextLoad(now.number + 1)
			return []Advice{{exercises.Stage, "", float64(due.Resistance(v.book.Cadence)),
				fmt.Sprintf("Stage %d: %.0f kg·m/min, by the column that stage 1 chose.", now.number+1, due), "CSEP2009"}}
		}
		return v.insteadOfEnding(c, list, asYouGo, working && !ending)
	case exercises.Extend, exercises.CoolDown, exercises.Stop:
		return v.insteadOfEnding(c, list, asYouGo, working && !ending)
	case exercises.Resistance:
		if c.ResistanceKp != v.dial {
			return list
		}
	case exercises.Pressure:
		if working && v.pressureOwed(now) && v.now-now.from < v.book.Pressure.FromS {
			return []Advice{{exercises.Pressure, "", 0, fmt.Sprintf("The window of the pressure opens at %s of the stage.", clock(v.book.Pressure.FromS)), "KINE4315"}}
		}
	}
	return nil
}

// insteadOfEnding judges what ends a stage or the test. early says that the stage has not had its minutes.
func (v *sight) insteadOfEnding(c exercises.Command, list []Advice, asYouGo, early bool) []Advice {
	now, _ := v.stage()
	switch {
	case asYouGo:
		return nil
	case !early || list[0].Act == exercises.Count:
		return list
	case c.Act == exercises.Stop || c.Act == exercises.CoolDown:
		return []Advice{{exercises.Wait, "", 0, "Nothing that ends the test was said, seen or measured.", "CSEP2009"}}
	}
	return []Advice{{exercises.Wait, "", 0, fmt.Sprintf("Stage %d runs to %s, with a pulse in each minute.", now.number, clock(v.book.StageS+60*now.extensions)), "CSEP2009"}}
}

// insteadInRecovery judges what is done after the end.
func (v *sight) insteadInRecovery(c exercises.Command, list []Advice) []Advice {
	first := list[0]
	_, may := v.mayGo()
	switch {
	case c.Act == exercises.Release && may && v.now-v.endedAt >= v.book.CoolDown.WatchS:
		return nil // a last look more, or one less
	case c.Act == exercises.Release, c.Act == exercises.Stop:
		return list
	case c.Act == exercises.Seat && first.Act == exercises.Seat, c.Act == exercises.Call && first.What == "ambulance":
		return list[:1]
	case c.Act == exercises.Resistance && c.ResistanceKp > float64(v.book.CoolDown.MaxResistance):
		return list
	}
	return nil
}

// overstayed judges a wait or a rest when it is over.
func (p *Proctor) overstayed(v *sight, s *exercises.State, c exercises.Command, list []Advice) func() []Advice {
	first := list[0]
	began, stage, from, last := s.ClockS, s.Stage, s.StageFromS, v.book.StageS/60+s.Extensions
	_, bad := v.signOf(isEmergency, v.pedalAt)
	atOnce, decision := false, false
	switch {
	case v.releasedAt >= 0 || v.pedalAt < 0:
		return func() []Advice { return nil }
	case v.endedAt >= 0:
		stage, from, last = exercises.RecoveryStage, v.endedAt, v.book.CoolDown.WatchS/60
		atOnce = bad && (first.Act == exercises.Call || first.Act == exercises.Seat || first.Act == exercises.Stop)
	default:
		_, pressing := v.urgent()
		atOnce = pressing && first.Act != exercises.Write // a second goes by while a number is put down
		decision = pressing && !atOnce || first.Act == exercises.Stage && stage > 0 || first.Act == exercises.Extend || first.Act == exercises.CoolDown
	}
	minute := last + 1 // none is due
	if stage != 0 {
		minute = v.nextMinute(v.minutesOf(stage), began-from)
	}
	return func() []Advice {
		now, gone := p.see(s), s.ClockS-began
		switch {
		case atOnce, decision && gone > idleS:
			return list
		case gone < c.Seconds, minute > last, now.nextMinute(now.minutesOf(stage), s.ClockS-from) <= minute:
			return nil
		}
		at := minute*60 - v.book.Count.Seconds - findPulseS
		return []Advice{{exercises.Count, "", 0, fmt.Sprintf("The pulse of minute %d was to be counted from %s.", minute, clock(at)), "CSEP2009"}}
	}
}

// idleS is how long one may wait when a decision is due before it is said to be due, in seconds. Source: [CHOICE-PLAN].
const idleS = 10
