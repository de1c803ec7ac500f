package grader

import "fmt"

var rulePressureLimit = Rule{
	Name:    "pressure-limit",
	Part:    Safety,
	Asks:    "End the test when the systolic or the diastolic pressure passes its limit.",
	Why:     "Beyond these limits the strain on vessels and heart grows with each further step, and a submaximal test has no use for it.",
	Sources: []string{"BENJ", "AAFP2017"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		for _, k := range c.Cuffs {
			if !begun(c) || k.FromS < c.PedalAtS || !k.overLimit(b) || c.EndedAtS >= 0 && k.FromS >= c.EndedAtS {
				continue
			}
			known := fmt.Sprintf("You read %.0f/%.0f mmHg.", k.systolic(), k.diastolic())
			if !k.read() {
				known = fmt.Sprintf("You heard sounds at once from %d mmHg.", k.Top)
			}
			should := fmt.Sprintf("Above %.0f systolic or %.0f mmHg diastolic: end by the next minute mark.", b.Stop.SystolicMax, b.Stop.DiastolicMax)
			if raised := raisedAfter(c, k.KnownS); raised >= 0 {
				return []Opportunity{broken(k.KnownS, 0, "pressure limit", known, fmt.Sprintf("You raised the load at %s.", where(c, raised)), should).
					closing("a stop was missed")}
			}
			// One repeat to make sure, and then the mark. Source: [CHOICE-LATENCY].
			if c.EndedAtS >= 0 && c.EndedAtS <= k.KnownS+b.Stop.VerifyDoneS+60 {
				return []Opportunity{kept(k.KnownS)}
			}
			return []Opportunity{broken(k.KnownS, 0, "pressure limit", known, "You went on at the same load.", should)}
		}
		return nil
	},
}

// overLimit says whether a pressure of the stage asked for an end.
func overLimit(b Rulebook, c *Course, s StageRun) bool {
	for _, k := range cuffsIn(c, s.FromS, s.ToS) {
		if k.overLimit(b) {
			return true
		}
	}
	return false
}

// overLimit says whether a pressure asks for an end: by what was read, or by sounds at once from above the limit.
func (k CuffTake) overLimit(b Rulebook) bool {
	if k.read() {
		return pressureTooHigh(b, k.systolic(), k.diastolic())
	}
	return !k.CutShort && beyondLimit(b, k.Top, anySound(k.Heard) && !k.Sounded)
}
