package grader

import "fmt"

var rulePulseTiming = Rule{
	Name:    "pulse-timing",
	Part:    Procedure,
	Asks:    "Count in the window about the minute mark; as soon as the cuff is down when a pressure was running.",
	Why:     "The steady rule compares counts a minute apart. A count taken early catches the rate while it still climbs.",
	Sources: []string{"CSEP2009", "PHRE1033"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			for _, r := range readings(c, s, lastSecond(c)) {
				mark := s.FromS + 60*r.Minute
				early := mark - b.Count.BeforeS - r.Count.FromS
				late := r.Count.ToS - mark - b.Count.AfterS
				if early <= 0 && late <= 0 || followsCuff(c, r.Count) || followsCut(c, r.Count) || followsOdd(b, c, r.Count) || followsExtension(s, r.Count) || verifies(b, c, r.Count) || s.ToS < mark {
					list = append(list, kept(r.Count.FromS))
					continue
				}
				list = append(list, broken(r.Count.FromS, 0, fmt.Sprintf("time of pulse, stage %d minute %d", s.Number, r.Minute),
					fmt.Sprintf("The mark of minute %d was at %s.", r.Minute, clock(60*r.Minute)),
					fmt.Sprintf("You counted from %s to %s.", clock(r.Count.FromS-s.FromS), clock(r.Count.ToS-s.FromS)),
					fmt.Sprintf("Begin at most %d s before the mark and end at most %d s after it.", b.Count.BeforeS, b.Count.AfterS)))
			}
		}
		return list
	},
}

// followsCuff says whether a count was begun as soon as the hands were free from a pressure that ran into its time.
func followsCuff(c *Course, k Count) bool {
	for _, cuff := range c.Cuffs {
		// Time to let go of the bulb and find the pulse. Source: [CHOICE-HANDS].
		if cuff.ToS <= k.FromS && k.FromS-cuff.ToS <= 20 {
			return true
		}
	}
	return false
}

// followsCut says whether a count was begun again because the person's own words or a cough cut the one before short.
func followsCut(c *Course, k Count) bool {
	for _, cut := range c.Counts {
		if cut.CutShort && cut.ToS <= k.FromS && k.FromS-cut.ToS <= 20 { // as after a cuff. Source: [CHOICE-HANDS].
			return true
		}
	}
	return false
}

// followsOdd says whether a long count was begun soon after one with a gap that did not fit: too few to have to be felt again, and never wrong to.
func followsOdd(b Rulebook, c *Course, k Count) bool {
	for _, first := range c.Counts {
		if first.Odd > 0 && k.Seconds >= verifyingCountS && first.ToS <= k.FromS && k.FromS-findPulseS-first.ToS <= b.Stop.VerifyBeginS {
			return true
		}
	}
	return false
}

// verifies says whether a count settles a doubt about the pulse, which does not wait for a mark.
func verifies(b Rulebook, c *Course, k Count) bool {
	for _, d := range pulseDoubts(b, c) {
		if d.repeated && d.second.FromS == k.FromS {
			return true
		}
	}
	return false
}

// followsExtension says whether a count was begun as soon as a minute had been added, when that was decided late because of a pressure.
func followsExtension(s StageRun, k Count) bool {
	for _, at := range s.Extensions {
		if at <= k.FromS && k.FromS-at <= 20 { // as after a cuff. Source: [CHOICE-HANDS].
			return true
		}
	}
	return false
}
