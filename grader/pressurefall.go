package grader

import "kilopond/physiology/unit"

// A fall is the first systolic pressure on the student's own path that lay too far below the stage before, with what came of it.
type fall struct {
	stage     StageRun
	before    unit.Pressure // systolic of the stage before
	first     CuffTake
	second    CuffTake // the repeat that could be read; zero when none
	begunS    int      // when the repeat was begun, were it one that could not be read; 0 when none was
	repeated  bool
	confirmed bool
}

// fallOf is the fall that counts: the first that was confirmed or never repeated, else the last that a repeat did not confirm; ok is false when
// there was none.
func fallOf(b Rulebook, c *Course) (f fall, ok bool) {
	all := fallsOf(b, c)
	if len(all) == 0 {
		return f, false
	}
	return all[len(all)-1], true
}

// fallsOf finds the unexpected falls of systolic pressure with a higher load, in order, up to the first that was confirmed or not repeated: a fall
// that was not confirmed is over, and a later one may still come.
func fallsOf(b Rulebook, c *Course) (all []fall) {
	rest, _ := restingSystolic(c) // 0 when none was read
	last := unit.Pressure(0)
	for _, s := range c.Stages {
		takes := cuffsIn(c, s.FromS, s.ToS)
		stageLast := unit.Pressure(0)
		for i, k := range takes {
			if !k.read() {
				continue
			}
			if last > 0 && k.systolic() <= last-b.Stop.SystolicFall {
				f := fall{stage: s, before: last, first: k}
				if i+1 < len(takes) {
					f.begunS = takes[i+1].FromS
				}
				for _, again := range takes[i+1:] {
					if again.read() {
						f.second, f.repeated = again, true
						break
					}
				}
				f.confirmed = f.repeated && fallConfirmed(b, f.second.systolic(), last, rest)
				all = append(all, f)
				if !f.repeated || f.confirmed {
					return all
				}
			}
			stageLast = k.systolic()
		}
		if stageLast > 0 {
			last = stageLast
		}
	}
	return all
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
