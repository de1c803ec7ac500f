package grader

import (
	"strconv"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// number returns the last entry of a key that was not struck out, as a number.
func (c *Course) number(key exercises.Key) (float64, bool) {
	list := written(c, key)
	for i := len(list) - 1; i >= 0; i-- {
		if x, err := strconv.ParseFloat(list[i].Text, 64); err == nil {
			return x, true
		}
	}
	return 0, false
}

// person is who the calculation is about: age and sex from the appointment list, mass as the student wrote it, else as it was weighed.
func (c *Course) person() protocol.Person {
	p := protocol.Person{Sex: unit.Sex(c.Header.Subject.Sex), Age: unit.Age(c.Header.Subject.AgeY)}
	if m, ok := c.number(exercises.KeyMass); ok && m > 0 {
		p.Mass = unit.Mass(m)
	} else if m, ok := measured(c, "mass_kg", lastSecond(c)); ok {
		p.Mass = unit.Mass(m)
	}
	for _, k := range c.Counts {
		if whole(k) && (!begun(c) || k.ToS <= c.PedalAtS) {
			p.RestHR = k.Reading()
		}
	}
	return p
}

// voidStage says why a stage cannot enter the line whatever its heart rates, or "".
func voidStage(b Rulebook, s StageRun, minutes int) string {
	switch {
	case len(s.Changes) > 0:
		return "the load was changed within the stage"
	case minutes > 0 && s.ToS-s.FromS < b.StageS-b.Count.Seconds:
		return "the stage was not finished"
	}
	return ""
}

// sheetPoints are the stages as they stand on the student's own sheet.
func sheetPoints(b Rulebook, c *Course) []protocol.StagePoint {
	var all []protocol.StagePoint
	for _, s := range c.Stages {
		list := sheetReadings(b, c, s)
		p := protocol.StagePoint{Stage: s.Number, WorkRate: s.WorkRate, Minutes: rates(list), Void: voidStage(b, s, len(list))}
		if _, _, row := lastTwo(list); len(list) >= 2 && !row {
			p.Void = "the last two readings are not of two minutes in a row"
		}
		all = append(all, p)
	}
	return all
}

// sheetReadings are the readings of a stage that stand for its minutes.
func sheetReadings(b Rulebook, c *Course, s StageRun) []minuteReading {
	if s.Last {
		return readings(c, s, s.ToS+b.Count.AfterS)
	}
	return readings(c, s, s.ToS)
}

// WorkSheet works the calculation on the student's own sheet.
func WorkSheet(b Rulebook, c *Course) protocol.Answer {
	if c.worked != nil {
		return *c.worked
	}
	return work(b, c, sheetPoints(b, c))
}

// WorkPerfect works it on perfect readings of the same path: the same stages and minutes, each counted without error.
//
// Before the handing in there is none.
func WorkPerfect(b Rulebook, c *Course) protocol.Answer {
	if !c.State.Closed {
		return protocol.Answer{WhyNot: "not handed in: perfect readings are not told yet"}
	}
	var all []protocol.StagePoint
	for _, s := range c.Stages {
		p := protocol.StagePoint{Stage: s.Number, WorkRate: s.WorkRate}
		for _, m := range c.Closing.Minutes {
			if m.Stage == s.Number {
				p.Minutes = append(p.Minutes, unit.HR(m.HRbpm))
			}
		}
		p.Void = voidStage(b, s, len(p.Minutes))
		all = append(all, p)
	}
	return work(b, c, all)
}

func work(b Rulebook, c *Course, points []protocol.StagePoint) protocol.Answer {
	return protocol.Estimate(b.Rules, c.person(), points)
}
