package grader

import (
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// endReason is why the test could rightly be ended by the second at, from what the student could know; "" when nothing spoke for it.
func endReason(b Rulebook, c *Course, at int) string {
	if _, ok := noticed(b, c, isEmergency, c.PedalAtS, at+1); ok {
		return "a sign that ends a test at once"
	}
	if _, ok := noticed(b, c, isEnd, c.PedalAtS, at+1); ok {
		return "a sign that ends a test"
	}
	if _, ok := noticed(b, c, asksToStop, c.PedalAtS, at+1); ok {
		return "the person asked to stop"
	}
	for _, e := range c.Exertions {
		if e.Stage > 0 && e.AtS <= at && e.RPE >= b.Stop.AskRPE {
			return "exertion"
		}
	}
	for _, k := range c.Cuffs {
		if k.Stage <= 0 || k.KnownS > at {
			continue
		}
		if k.overLimit(b) {
			return "pressure above the limit"
		}
	}
	if v, ok := fallOf(b, c); ok && v.confirmed && v.second.KnownS <= at {
		return "a fall of pressure, confirmed"
	}
	if d, ok := confirmedDoubt(b, c); ok && d.second.KnownS <= at {
		return "a doubt about the pulse, confirmed: " + d.cause
	}
	if failed := brakeFailed(b, c); failed >= 0 && failed <= at {
		return "a brake that does not hold its load"
	}
	ceiling, ok := houseCeiling(b, c)
	for _, s := range c.Stages {
		list := readings(c, s, at)
		for i, r := range list {
			if ok && protocol.AtCeiling(b.Rules, r.HR, ceiling, i > 0 && steadyPair(b, list[i-1].HR, r.HR)) {
				return theCeiling
			}
		}
	}
	if nearCeiling(b, c, at) {
		return nearTheCeiling
	}
	return ""
}

// nearCeiling says whether the last pulse by a second would have been at the ceiling with one beat more in the count: the finger may have missed
// it, and either choice is right. Source: [CHOICE-NEAR-EDGE].
func nearCeiling(b Rulebook, c *Course, at int) bool {
	ceiling, ok := houseCeiling(b, c)
	for i := len(c.Stages) - 1; i >= 0 && ok; i-- {
		if c.Stages[i].FromS > at {
			continue
		}
		list := readings(c, c.Stages[i], at)
		n := len(list)
		if n == 0 {
			return false
		}
		steady := n > 1 && steadyPair(b, list[n-2].HR, list[n-1].HR)
		return protocol.AtCeiling(b.Rules, list[n-1].HR+60/unit.HR(max(1, b.Count.Seconds)), ceiling, steady)
	}
	return false
}

// theCeiling is the one planned reason to end.
const theCeiling = "the ceiling"

// nearTheCeiling is an end that may be made as well as the next load.
const nearTheCeiling = "within one beat of the count of the ceiling"

// steadyPair says whether two minutes agree by the house's rule.
func steadyPair(b Rulebook, earlier, later unit.HR) bool {
	return protocol.Steady(b.Steady, b.Count, []unit.HR{earlier, later})
}

// houseCeiling is the ceiling by the rules in force, of the person's age and, where the rules ask for it, of the resting rate
// that the student read. ok is false when the rules cannot give one.
func houseCeiling(b Rulebook, c *Course) (unit.HR, bool) {
	most, err := protocol.PredictedMaxHR(b.MaxHR, unit.Sex(c.Closing.Truth.Sex), unit.Age(c.Closing.Truth.AgeY))
	if err != nil {
		return 0, false
	}
	return protocol.Ceiling(b.Rules, most, restingHR(c)), true
}

// restingHR is the last pulse before pedalling, 0 when none was counted.
func restingHR(c *Course) unit.HR {
	hr := unit.HR(0)
	for _, k := range c.Counts {
		if whole(k) && (!begun(c) || k.ToS <= c.PedalAtS) {
			hr = k.Reading()
		}
	}
	return hr
}

// qualifying are the stages that may enter the line on the student's own readings: steady, and inside the window.
func qualifying(b Rulebook, c *Course) []StageRun {
	ceiling, ok := houseCeiling(b, c)
	var list []StageRun
	for _, s := range c.Stages {
		rs := readings(c, s, s.ToS)
		earlier, later, two := lastTwo(rs)
		if !two || voidStage(b, s, len(rs)) != "" || !steadyPair(b, earlier.HR, later.HR) {
			continue
		}
		hr := protocol.StageHR(b.StageHR, rates(rs))
		if ok && protocol.InWindow(b.Rules, hr, ceiling) {
			list = append(list, s)
		}
	}
	return list
}
