package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/body"
)

// An emergency is the first sign of danger in a test or after it, with the second from which the person is to be looked after: when the
// load was off, or when the sign showed in recovery.
type emergency struct {
	notice
	fromS int
}

// emergencyOf is the emergency of an attempt; ok is false when there was none, or the test never ended.
func emergencyOf(b Rulebook, c *Course) (e emergency, ok bool) {
	if !begun(c) || c.EndedAtS < 0 {
		return e, false
	}
	until := lastSecond(c) + 1
	if c.ReleasedAtS >= 0 {
		until = c.ReleasedAtS
	}
	n, ok := noticed(b, c, isEmergency, c.PedalAtS, until)
	return emergency{n, max(n.AtS, c.EndedAtS)}, ok
}

// placesFor are the places that fit a sign of danger: whoever has pain in the chest or fights for air sits, whoever is about to faint lies; for
// the rest either will do. Source: [PRACTICE-EMERGENCY].
func placesFor(s body.Sign) []string {
	switch s {
	case body.ChestDiscomfort, body.Wheeze, body.Breathless:
		return []string{"chair"}
	case body.Lightheaded, body.Pallor, body.ColdSweat, body.Confused:
		return []string{"lying"}
	}
	return []string{"lying", "chair"}
}

// How soon after the load is off each act is due, in seconds. Source: [CHOICE-LATENCY].
const (
	placedWithin   = 60
	feltWithin     = 60
	measuredWithin = 180
)

// firstIn is the first second in [from, to] at which a step of an act was done, −1 when none was.
func firstIn(steps []Step, act exercises.Act, what string, from, to int) int {
	for _, s := range steps {
		if s.Act == act && (what == "" || s.What == what) && s.AtS >= from && s.AtS <= to {
			return s.AtS
		}
	}
	return -1
}
