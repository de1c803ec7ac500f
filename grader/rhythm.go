package grader

// A disorder is the first count of a stage that felt uneven, with the longer one after it.
type disorder struct {
	first, second Count // second is the zero value when none came
	repeated      bool
	confirmed     bool
}

// disordersOf finds the uneven counts of a test, one a stage, in order, up to the first that was confirmed or never felt again: what a longer count
// settled is over, and a later stage may bring another.
func disordersOf(b Rulebook, c *Course) (all []disorder) {
	for _, s := range c.Stages {
		var in []Count
		var felt []pulseRhythm
		for _, k := range c.Counts {
			if k.FromS >= s.FromS && k.ToS <= s.ToS && !k.CutShort {
				in = append(in, k)
				felt = append(felt, k.rhythm())
			}
		}
		doubt, settles := firstDoubt(b, felt)
		if doubt < 0 {
			continue
		}
		d := disorder{first: in[doubt], repeated: settles >= 0}
		if d.repeated {
			d.second = in[settles]
			d.confirmed = d.second.rhythm().uneven(b.Stop.OddBeats)
		}
		all = append(all, d)
		if !d.repeated || d.confirmed {
			return all
		}
	}
	return all
}

// disorderOf is the uneven count that counts: the first that was confirmed or never felt again, else the last; ok is false when there was none.
func disorderOf(b Rulebook, c *Course) (d disorder, ok bool) {
	if all := disordersOf(b, c); len(all) > 0 {
		return all[len(all)-1], true
	}
	return d, false
}

func (c Count) rhythm() pulseRhythm { return pulseRhythm{c.FromS, c.ToS, c.Seconds, c.Odd} }
