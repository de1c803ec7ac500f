package grader

import (
	"fmt"
	"sort"

	"kilopond/exercises"
)

// A level says what a resting value asks for.
type level int

const (
	start level = iota
	postpone
	refuse
)

// A restReading is a pulse or a pressure taken before pedalling, with what it asks for.
type restReading struct {
	kind       string // pulse, pressure, rhythm
	fromS, toS int
	level      level
	text       string // "172/96 mmHg"
}

// restReadings are the resting readings in order of time, as the student went by them.
func restReadings(b Rulebook, c *Course) []restReading {
	var list []restReading
	for _, k := range c.Counts {
		if whole(k) && (!begun(c) || k.ToS <= c.PedalAtS) {
			r := restReading{kind: "pulse", fromS: k.FromS, toS: k.ToS, text: fmt.Sprintf("%.0f bpm", k.Reading())}
			if k.Reading() > b.Screening.PostponeHR {
				r.level = postpone
			}
			list = append(list, r)
			if uneven := k.felt().uneven(b.Screening.OddBeats); uneven || k.Seconds >= verifyingCountS && !k.Timed {
				r := restReading{kind: "rhythm", fromS: k.FromS, toS: k.ToS, text: fmt.Sprintf("an uneven pulse, %d odd gaps in %d s", k.Odd, k.Seconds)}
				if uneven {
					r.level = postpone
				}
				list = append(list, r)
			}
		}
	}
	for _, k := range c.Cuffs {
		if k.read() && (!begun(c) || k.ToS <= c.PedalAtS) {
			sys, dia := k.systolic(), k.diastolic()
			r := restReading{kind: "pressure", fromS: k.FromS, toS: k.ToS, text: fmt.Sprintf("%.0f/%.0f mmHg", sys, dia)}
			switch {
			case sys > b.Screening.RefuseSBP || dia > b.Screening.RefuseDBP:
				r.level = refuse
			case sys >= b.Screening.PostponeSBP || dia >= b.Screening.PostponeDBP:
				r.level = postpone
			}
			list = append(list, r)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].fromS < list[j].fromS })
	return list
}

// firstHigh is the first resting reading at the limit or beyond.
func firstHigh(b Rulebook, c *Course) (restReading, bool) {
	for _, r := range restReadings(b, c) {
		if r.level > start {
			return r, true
		}
	}
	return restReading{}, false
}

// lastHigh is the last resting reading of a kind when that is still at the limit or beyond.
func lastHigh(b Rulebook, c *Course) (restReading, bool) {
	last := map[string]restReading{}
	for _, r := range restReadings(b, c) {
		last[r.kind] = r
	}
	for _, kind := range []string{"pressure", "pulse", "rhythm"} {
		if last[kind].level > start {
			return last[kind], true
		}
	}
	return restReading{}, false
}

// hasRest says whether a resting reading of the kind exists.
func hasRest(b Rulebook, c *Course, kind string) bool {
	for _, r := range restReadings(b, c) {
		if r.kind == kind {
			return true
		}
	}
	return false
}

// truthTooHigh says whether the person's own resting values forbid a test; for a student who did not measure them.
func truthTooHigh(b Rulebook, c *Course, kind string) bool {
	t := c.Closing.Truth
	if kind == "pulse" {
		return t.RestingHRbpm > float64(b.Screening.PostponeHR)
	}
	return t.RestingSBP >= float64(b.Screening.PostponeSBP) || t.RestingDBP >= float64(b.Screening.PostponeDBP)
}

// flags are the health answers that a careful proctor does not pass over.
func flags(c *Course) []string { return c.Closing.Truth.Flags }

// healthWords is the person's answer to one health question, in quotes; "" when it was not asked.
func healthWords(c *Course, about string) string {
	if c.State == nil {
		return ""
	}
	for _, e := range c.State.Events {
		if f, ok := e.Fact.(exercises.Said); ok && f.To == "health" && f.About == about {
			return "“" + brief(f.Words) + "”"
		}
	}
	return ""
}

// seatedOnCycle is the second at which the person last took place on the cycle before pedalling, −1 when never.
func seatedOnCycle(c *Course) int {
	at := -1
	if c.State == nil {
		return at
	}
	for _, e := range c.State.Events {
		if s, ok := e.Fact.(exercises.Seated); ok && s.Where == "cycle" && (!begun(c) || e.AtS <= c.PedalAtS) {
			at = e.AtS
		}
	}
	return at
}
