package grader

import "kilopond/physiology/unit"

// A fall is the first systolic pressure on the student's own path that lay too far below the stage before, with what came of it.
type fall struct {
	stage     StageRun
	before    unit.Pressure // systolic of the stage before
	first     CuffTake
	second    CuffTake // the repeat; zero when none
	repeated  bool
	confirmed bool
}

// fallOf finds the first unexpected fall of systolic pressure with a higher load; ok is false when none was read.
func fallOf(b Rulebook, c *Course) (f fall, ok bool) {
	last := unit.Pressure(0)
	for _, s := range c.Stages {
		takes := cuffsIn(c, s.FromS, s.ToS)
		stageLast := unit.Pressure(0)
		for i, k := range takes {
			if !k.read() {
				continue
			}
			if last > 0 && k.systolic() <= last-b.Stop.SystolicFall {
				f = fall{stage: s, before: last, first: k}
				for _, again := range takes[i+1:] {
					if again.read() {
						f.second, f.repeated = again, true
						break
					}
				}
				rest, _ := restingSystolic(c) // 0 when none was read
				f.confirmed = f.repeated && fallConfirmed(b, f.second.systolic(), last, rest)
				// A fall that was not confirmed is over; a later one may still come.
				if !f.repeated || f.confirmed {
					return f, true
				}
				if !ok {
					ok = true
				}
			}
			stageLast = k.systolic()
		}
		if stageLast > 0 {
			last = stageLast
		}
	}
	return f, ok
}

// restingSystolic is the last systolic pressure read before pedalling.
func restingSystolic(c *Course) (p unit.Pressure, ok bool) {
	for _, k := range c.Cuffs {
		if k.read() && (!begun(c) || k.ToS <= c.PedalAtS) {
			p, ok = k.systolic(), true
		}
	}
	return p, ok
}
