package grader

import (
	"fmt"
	"strings"
)

var ruleRecoveryWatched = Rule{
	Name:    "recovery-watched",
	Part:    Safety,
	Asks:    "Stay and watch the recovery: the pulse in each minute, the pressure, until the watch is over.",
	Why:     "Late falls of pressure, faints and disturbed rhythm come in the minutes after work. Nobody sees them who has left.",
	Sources: []string{"NHANES-CVX", "PATH"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 {
			return nil
		}
		until := lastSecond(c)
		if c.ReleasedAtS >= 0 {
			until = c.ReleasedAtS
		}
		watched := until - c.EndedAtS
		should := fmt.Sprintf("Watch for %s: pulse each minute, and %s at least.", clock(b.CoolDown.WatchS), howMany(b.CoolDown.Pressures, "pressure"))
		if watched < b.CoolDown.WatchS-coolSlack {
			did := "You let the person go."
			if c.ReleasedAtS < 0 {
				did = "You left the attempt there, with the person still in the room."
			}
			return []Opportunity{broken(until, 0, "recovery", fmt.Sprintf("The test had ended %s before.", clock(watched)), did, should).
				closing("the recovery was not watched")}
		}
		wanted, seen := 0, 0
		var without []string
		e, danger := emergencyOf(b, c)
		for from := c.EndedAtS; from+b.CoolDown.HREveryS <= c.EndedAtS+b.CoolDown.WatchS; from += b.CoolDown.HREveryS {
			if mark := from + b.CoolDown.HREveryS; danger && (leftIn(c, from, mark) || mark >= e.fromS && mark <= e.fromS+measuredWithin) {
				continue // a place, a call, a pulse, a pressure: emergency-watch judges those minutes
			}
			wanted++
			minute := (from-c.EndedAtS)/b.CoolDown.HREveryS + 1
			slack := lookSlack
			if mark := from + b.CoolDown.HREveryS; cuffOver(c, mark-b.Count.Seconds) {
				slack += 45 // as soon as the cuff is down. Source: [CHOICE-HANDS].
			}
			if countedIn(c, from, from+b.CoolDown.HREveryS+slack) {
				seen++
			} else {
				without = append(without, fmt.Sprint(minute))
			}
		}
		pressures := len(cuffsIn(c, c.EndedAtS, until+1))
		wanted += b.CoolDown.Pressures
		seen += min(pressures, b.CoolDown.Pressures)
		if seen == wanted {
			return []Opportunity{kept(until)}
		}
		did := "You took " + howMany(pressures, "pressure") + "."
		if len(without) > 0 {
			did = fmt.Sprintf("No pulse for minute %s; %s.", strings.Join(without, ", "), howMany(pressures, "pressure"))
		}
		o := broken(c.EndedAtS, float64(seen)/float64(max(1, wanted)), "recovery", "The person was recovering.", did, should)
		if seen == 0 {
			o = o.closing("the recovery was not watched")
		}
		return []Opportunity{o}
	},
}

// countedIn says whether a pulse was counted that ended in [from, to]; a count that the person's own words cut short is one, too.
func countedIn(c *Course, from, to int) bool {
	for _, k := range c.Counts {
		if (whole(k) || k.CutShort) && k.FromS >= from && k.ToS <= to {
			return true
		}
	}
	return false
}

// leftIn says whether the person was alone at some time between two seconds.
func leftIn(c *Course, from, to int) bool {
	for _, at := range c.LeftAtS {
		if at < to && at+leaveS > from {
			return true
		}
	}
	return false
}

// leaveS is for how many seconds whoever goes for help is away. Source: [CHOICE-DURATIONS].
const leaveS = 60

// cuffOver says whether a pressure was under way at a second.
func cuffOver(c *Course, at int) bool {
	for _, k := range c.Cuffs {
		if k.FromS <= at && k.ToS > at {
			return true
		}
	}
	return false
}
