package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

var ruleEmergencyWatch = Rule{
	Name:    "emergency-watch",
	Part:    Safety,
	Asks:    "After a sign of danger stay, have the defibrillator brought within two minutes, feel the pulse within one and take the pressure within three.",
	Why:     "What comes next is not known yet: the same person may be better in a minute, or without a pulse. Whoever stays, counts and has the machine at hand loses no second then.",
	Sources: []string{"PRACTICE-EMERGENCY", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		e, ok := emergencyOf(b, c)
		if !ok {
			return nil
		}
		var missing []string
		alone := leftIn(c, e.AtS, lastSecond(c)+1)
		if alone {
			missing = append(missing, "you left the person alone")
		}
		if firstIn(c.Called, exercises.Call, "defibrillator", e.AtS-callWithin, e.fromS+callWithin) < 0 {
			missing = append(missing, "no defibrillator was at hand")
		}
		if !feltBy(c, e.fromS, e.fromS+feltWithin) {
			missing = append(missing, "no pulse was felt within a minute")
		}
		if !measuredBy(c, e.fromS, e.fromS+measuredWithin) {
			missing = append(missing, "no pressure was taken within three minutes")
		}
		if len(missing) == 0 {
			return []Opportunity{kept(e.fromS)}
		}
		o := broken(e.fromS, 1-float64(len(missing))/4, "watch after danger", fmt.Sprintf("At %s: %s", where(c, e.AtS), wordsAt(c, e.AtS)),
			strings.ToUpper(missing[0][:1])+strings.Join(missing, "; ")[1:]+".", "Stay; defibrillator to the side; pulse at once, then pressure, and again.")
		if alone {
			o = o.closing("a person in danger was left alone")
		}
		return []Opportunity{o}
	},
}

// feltBy says whether a pulse was counted, or begun and cut short, between two seconds.
func feltBy(c *Course, from, to int) bool {
	for _, k := range c.Counts {
		if k.ToS >= from && k.FromS <= to {
			return true
		}
	}
	return false
}

// measuredBy says whether a pressure was begun between two seconds.
func measuredBy(c *Course, from, to int) bool {
	for _, k := range c.Cuffs {
		if k.ToS >= from && k.FromS <= to {
			return true
		}
	}
	return false
}
