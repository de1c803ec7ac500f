package grader

import "fmt"

var rulePulseEachMinute = Rule{
	Name:    "pulse-each-minute",
	Part:    Validity,
	Asks:    "Count the pulse for each minute of each stage, before the load is changed.",
	Why:     "Whether a stage has settled is read from two minutes in a row. A minute without a count also hides a rate that runs to the ceiling.",
	Sources: []string{"KINE4315", "PHRE1033"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		every := max(1, b.Count.Every)
		for _, s := range c.Stages {
			have := map[int]bool{}
			for _, r := range readings(c, s, lastSecond(c)) {
				have[r.Minute] = true
			}
			for m := b.Count.First(); s.FromS+m*60 <= s.ToS+pulseSlack; m += every {
				mark := s.FromS + m*60
				if have[m] {
					list = append(list, kept(mark))
					continue
				}
				// Beyond the planned minutes a count is owed only when the hands were free.
				if m > b.StageS/60+len(s.Extensions) && (cuffDuring(c, mark-60, mark+pulseSlack) || displaced(b, c, mark-60, mark+pulseSlack)) {
					continue
				}
				// A pressure ran over the mark, as one does whose sounds run on, and the count followed at once.
				if ranOver(c, s, mark) {
					continue
				}
				// Counted after the end and written for this minute: count-while-pedalling judges that.
				if s.Last && countedAfterWork(c) == m {
					continue
				}
				if n, asked := noticed(b, c, asksToStop, c.PedalAtS, workUntil(c)); asked && n.AtS <= mark {
					continue // no count is owed by somebody who should have stopped
				}
				// The end, a verification or the person came first.
				if s.Last && (s.ToS <= mark+pulseSlack || cuffDuring(c, mark-b.Count.Seconds, mark) && endReason(b, c, s.ToS) != "") || overtaken(b, c, mark) || displaced(b, c, mark-b.Count.Seconds, mark+pulseSlack) || interrupted(c, mark-60, mark+b.Count.AfterS) {
					continue
				}
				cause := fmt.Sprintf("pulse of stage %d minute %d", s.Number, m)
				if missed := missedStop(b, c, s); missed != "" && s.ToS < mark+b.Count.AfterS {
					cause = missed // what cut the last count short is that the test went on at all
				}
				list = append(list, broken(min(mark, s.ToS), 0, cause,
					fmt.Sprintf("The mark of minute %d was at %s.", m, clock(m*60)), "You counted no pulse for it.",
					fmt.Sprintf("Count for %d s so that it ends about the mark.", b.Count.Seconds)))
			}
		}
		return list
	},
}

// pulseSlack is how many seconds before a minute mark a stage may end and still have owed that minute's count. Source: [CHOICE-LATENCY].
const pulseSlack = 5

// missingPulse is the cause of the first count that was due and missing; "" when none was.
func missingPulse(b Rulebook, c *Course) string {
	for _, o := range rulePulseEachMinute.Judge(b, c) {
		if o.Credit < 1 {
			return o.Cause
		}
	}
	return ""
}

// ranOver says whether a pressure was still falling at a mark and a pulse was counted as soon as it was down.
func ranOver(c *Course, s StageRun, mark int) bool {
	for _, cuff := range c.Cuffs {
		if cuff.FromS >= mark || cuff.ToS <= mark {
			continue
		}
		for _, k := range c.Counts {
			if whole(k) && k.FromS >= cuff.ToS && k.FromS < s.ToS && followsCuff(c, k) {
				return true
			}
		}
	}
	return false
}

// interrupted says whether the person cut a measurement short between two seconds, so that it had to be begun again.
func interrupted(c *Course, from, to int) bool {
	for _, k := range c.Cuffs {
		if k.CutShort && k.ToS > from && k.ToS < to {
			return true
		}
	}
	for _, k := range c.Counts {
		if k.CutShort && k.ToS > from && k.ToS < to {
			return true
		}
	}
	return false
}

// cuffDuring says whether a pressure ran at some time between two seconds.
func cuffDuring(c *Course, from, to int) bool {
	for _, k := range c.Cuffs {
		if k.FromS < to && k.ToS > from {
			return true
		}
	}
	return false
}
