package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// An Advice is one thing that is acceptable now, with why and where it is written.
type Advice struct {
	Act          exercises.Act
	What         string
	ResistanceKp float64
	Why          string
	Source       string // key of physiology/SOURCES.md
}

// Acceptable is what is acceptable at a state, in the order of duty: the person, a verification, heart rate, pressure, exertion, writing.
// The first is what the reference proctor does; often there is more than one.
func Acceptable(b Rulebook, s *exercises.State) []Advice { return NewProctor(b).Acceptable(s) }

// Acceptable is Acceptable for many states of one case, which it reads once.
func (p *Proctor) Acceptable(s *exercises.State) []Advice {
	if s.Closed {
		return nil
	}
	v := p.see(s)
	first := v.act()
	list := []Advice{v.advice(first)}
	add := func(act exercises.Act, what, why, source string) {
		for _, a := range list {
			if a.Act == act && (a.What == what || what == "") {
				return
			}
		}
		list = append(list, Advice{Act: act, What: what, Why: why, Source: source})
	}
	switch {
	case v.releasedAt >= 0 || v.turnedAway():
		add(exercises.Write, "", "What is still missing on the sheet.", "PRACTICE-SHEET")
	case v.endedAt >= 0:
		add(exercises.Look, "", "Late faints come in recovery.", "NHANES-CVX")
		add(exercises.Ask, "symptoms", "How the person feels is not on any dial.", "NHANES-CVX")
		add(exercises.Count, "", "The pulse in each minute.", "PHRE1033")
		add(exercises.Pressure, "", "The pressure must come back as well.", "PATH")
	case v.pedalAt < 0:
		if v.decided == "" && !v.did(exercises.Ask, "health") {
			add(exercises.Ask, "health", "At any time before the decision.", "PARQ2011")
		}
		for _, step := range []struct {
			act  exercises.Act
			what string
		}{{exercises.Check, "brake"}, {exercises.Check, "metronome"}, {exercises.Check, "plan"}, {exercises.Explain, "test"},
			{exercises.Explain, "scale"}, {exercises.Explain, "signals"}, {exercises.Ask, "consent"}} {
			if !v.did(step.act, step.what) {
				add(step.act, step.what, "Still to be done; the order is free.", "PRACTICE-ORDER")
			}
		}
		for _, what := range []string{"mass", "height", "arm"} {
			if !v.did(exercises.Measure, map[string]string{"mass": "mass_kg", "height": "height_cm", "arm": "arm_cm"}[what]) {
				add(exercises.Measure, what, "Still to be done; the order is free.", "PRACTICE-ORDER")
			}
		}
	case v.mustEnd():
		// Nothing else is acceptable, but a planned end may always be made at once when the person asks for it.
		if first.command.Act == exercises.CoolDown {
			add(exercises.Stop, "", "At once, when the person cannot or will not go on pedalling.", "EXRX")
		}
	default:
		v.duties(add, &list, first)
	}
	return list
}

// mustEnd says whether the urgent duty of now ends the test.
func (v *sight) mustEnd() bool {
	a, ok := v.urgent()
	return ok && (a.command.Act == exercises.Stop || a.command.Act == exercises.CoolDown)
}

// duties adds what may be done besides while the person works and nothing presses.
func (v *sight) duties(add func(exercises.Act, string, string, string), list *[]Advice, first action) {
	add(exercises.Look, "", "Colour, breath, grip.", "NHANES-CVX")
	add(exercises.Ask, "symptoms", "Many say nothing until they are asked.", "NHANES-CVX")
	now, ok := v.stage()
	if !ok {
		return
	}
	t := v.now - now.from
	minutes := v.minutesOf(now.number)
	if toMark := v.nextMinute(minutes, t)*60 - t; toMark <= v.book.Count.BeforeS {
		add(exercises.Count, "", "The window of this minute's count is open.", "CSEP2009")
	}
	if v.pressureOwed(now) && t >= v.book.Pressure.FromS {
		add(exercises.Pressure, "", "The window of the pressure is open until the load changes.", "KINE4315")
	}
	if !v.exertionIn(now.number) && t >= 60 {
		add(exercises.Ask, "exertion", "Once in each stage, near its end.", "KINE4315")
	}
	if _, owed := v.writeReadings(); owed {
		add(exercises.Write, "", "A reading is not on the sheet yet.", "PRACTICE-SHEET")
	}
	// At the end of a stage a rate within one beat of the count below the ceiling, or a high rating, may end the test as well.
	switch first.command.Act {
	case exercises.Stage, exercises.Extend:
		n := len(minutes)
		step := 60 / unit.HR(max(1, v.book.Count.Seconds))
		if n > 0 && minutes[n-1].hr >= v.ceiling()-step {
			add(exercises.CoolDown, "", fmt.Sprintf("%.0f bpm is within one beat of the count of the ceiling.", minutes[n-1].hr), "CHOICE-NEAR-EDGE")
		}
	}
}

// advice turns an action of the reference proctor into advice.
func (v *sight) advice(a action) Advice {
	return Advice{Act: a.command.Act, What: a.command.What, ResistanceKp: a.command.ResistanceKp, Why: a.why, Source: sourceOf(a.command.Act)}
}

// sourceOf is where an act of the reference proctor is written.
func sourceOf(act exercises.Act) string {
	switch act {
	case exercises.Stop, exercises.Call:
		return "PRACTICE-EMERGENCY"
	case exercises.CoolDown, exercises.Stage, exercises.Extend, exercises.Count:
		return "CSEP2009"
	case exercises.Pressure:
		return "WSU"
	case exercises.Look, exercises.Release:
		return "NHANES-CVX"
	case exercises.Write, exercises.HandIn:
		return "PRACTICE-SHEET"
	case exercises.Decide:
		return "CHOICE-REST-LIMITS"
	}
	return "PRACTICE-ORDER"
}
