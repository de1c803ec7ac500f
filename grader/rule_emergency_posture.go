package grader

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
)

var ruleEmergencyPosture = Rule{
	Name:    "emergency-posture",
	Part:    Safety,
	Asks:    "After a sign of danger hold the person on the cycle, then bring them off it within a minute: sitting with pain in the chest or too little air, lying when about to faint.",
	Why:     "Most are hurt by the fall, not by the heart. Laid flat, somebody who fights for air or has pain in the chest gets worse; sat up, somebody who is about to faint goes.",
	Sources: []string{"PRACTICE-EMERGENCY", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		e, ok := emergencyOf(b, c)
		if !ok {
			return nil
		}
		known := fmt.Sprintf("At %s: %s", where(c, e.AtS), wordsAt(c, e.AtS))
		fit := placesFor(e.Sign)
		ways := make([]string, len(fit))
		for i, f := range fit {
			ways[i] = bringsTo[f]
		}
		should := "Hold the person, then " + strings.Join(ways, " or ") + ", within a minute."
		on := placeAt(c, e.fromS)
		off := firstSeat(c, e.fromS)
		place, at := on, e.fromS // who sits or lies well already stays there
		if off != nil && (on == "cycle" || on == "standing" || !slices.Contains(fit, on)) {
			place, at = off.What, off.AtS
		}
		switch {
		case !slices.Contains(fit, place) && off == nil:
			return []Opportunity{broken(e.fromS, 0, "place after danger", known, "You left the person where they were.", should)}
		case !slices.Contains(fit, place):
			return []Opportunity{broken(at, 0, "place after danger", known, "The person "+takesPlace[place]+".", should)}
		case at-e.fromS > placedWithin:
			return []Opportunity{broken(at, 0.5, "place after danger", known, fmt.Sprintf("That took %d s.", at-e.fromS), should)}
		case on == "cycle" && at-seatS >= e.AtS && firstIn(c.Prepared, exercises.Steady, "", e.AtS-handsS, at) < 0:
			return []Opportunity{broken(at, 0.7, "hold after danger", known, "You held nobody on the way off the cycle.", should)}
		}
		o := kept(at)
		o.Good = "You brought the person to a place that fitted what was wrong."
		return []Opportunity{o}
	},
}

// seatS is how long it takes from the cycle to the chair or the floor, in s: whoever was on the way when the sign came could not be held first.
// Source: [CHOICE-DURATIONS].
const seatS = 10

// bringsTo says how a person is brought to a place that fits a sign of danger.
var bringsTo = map[string]string{"chair": "sit them on the chair", "lying": "lay them down"}

// placeAt is where the person was at a second.
func placeAt(c *Course, at int) string {
	place := "standing"
	for _, s := range c.Seats {
		if s.AtS <= at {
			place = s.What
		}
	}
	return place
}

// firstSeat is the first place that was taken after a second; nil when there was none.
func firstSeat(c *Course, after int) *Step {
	for i := range c.Seats {
		if c.Seats[i].AtS > after {
			return &c.Seats[i]
		}
	}
	return nil
}
