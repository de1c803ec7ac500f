package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// A scaleReading is one look at the scale of the brake within a stage.
type scaleReading struct {
	at    int
	set   unit.Resistance // on the dial
	read  float64         // kp
	again bool            // the load had been set again in this stage before
	acted bool            // the load was set again, or the test ended, within the time for a second look
}

// scaleReadings are the looks at the scale during the test, in order.
func scaleReadings(b Rulebook, c *Course) []scaleReading {
	var list []scaleReading
	if c.State == nil {
		return nil
	}
	from, set, again := 0, unit.Resistance(0), false // of the running stage: its first reading, its dial
	act := func(at int) {
		for i := from; i < len(list); i++ {
			list[i].acted = list[i].acted || at-list[i].at <= b.Stop.VerifyDoneS
		}
	}
	for _, e := range c.State.Events {
		switch f := e.Fact.(type) {
		case exercises.StageStarted:
			from, set, again = len(list), unit.Resistance(f.ResistanceKp), false
		case exercises.ResistanceSet:
			act(e.AtS)
			set, again = unit.Resistance(f.ResistanceKp), true
		case exercises.TestEnded:
			act(e.AtS)
			return list
		case exercises.Measured:
			if f.What == "dial_kp" && set > 0 {
				list = append(list, scaleReading{at: e.AtS, set: set, read: f.Value, again: again})
			}
		}
	}
	return list
}

// brakeFailed is the second at which the brake had given way again after it was set again; −1 when never.
func brakeFailed(b Rulebook, c *Course) int {
	for _, r := range scaleReadings(b, c) {
		if r.again && brakeGaveWay(r.set, r.read) {
			return r.at
		}
	}
	return -1
}
