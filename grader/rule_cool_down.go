package grader

import (
	"fmt"
	"slices"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

var ruleCoolDown = Rule{
	Name:    "cool-down",
	Part:    Safety,
	Asks:    "After a planned end let the legs turn on against little or no load for the minutes of the active cool-down; a leg that hurts may rest.",
	Why:     "Moving legs pump the blood back. Legs that stop dead let it pool, and the person may faint a minute later.",
	Sources: []string{"PMC3944103", "PHRE1033", "KINE4315"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || c.EndedAtS < 0 {
			return nil
		}
		if n, danger := noticed(b, c, isEmergency, c.PedalAtS, lastSecond(c)+1); danger && (c.EndedHow != exercises.Stop || n.AtS <= c.EndedAtS) {
			return nil // the person rests as they are; a faint that follows a dead stop excuses no dead stop
		}
		if _, asked := noticed(b, c, asksToStop, c.PedalAtS, c.EndedAtS+1); asked && c.EndedHow == exercises.Stop {
			return nil
		}
		until := lastSecond(c)
		for _, s := range []int{c.StoppedAtS, c.ReleasedAtS} {
			if s >= c.EndedAtS {
				until = min(until, s)
			}
		}
		if legHurts(b, c, until) {
			return nil // whoever has pain in a leg turns it on or rests it, as they can
		}
		if c.EndedHow == exercises.Stop {
			if c.leftOpen() {
				return nil // what was there to be seen is known when it is handed in
			}
			// A needless stop at once is charged as such; the dead stop belongs to it.
			cause := "dead stop"
			if endReason(b, c, c.EndedAtS) == "" && len(qualifying(b, c)) < b.StagesNeeded {
				cause = "ended early"
			}
			return []Opportunity{broken(c.EndedAtS, 0, cause, "The end was a planned one.", "You stopped the pedals dead.",
				fmt.Sprintf("Go on pedalling at %.1f kp or less for %s.", b.CoolDown.MaxResistance, clock(b.CoolDown.ActiveS)))}
		}
		if c.EndedKp > b.CoolDown.MaxResistance {
			return []Opportunity{broken(c.EndedAtS, 0, "cool-down load", "The test was over.", fmt.Sprintf("You cooled down at %.1f kp.", c.EndedKp),
				fmt.Sprintf("Cool down at %.1f kp or less.", b.CoolDown.MaxResistance))}
		}
		if active := until - c.EndedAtS; active < b.CoolDown.ActiveS-coolSlack {
			return []Opportunity{broken(until, share(float64(b.CoolDown.ActiveS-active), coolSlack, float64(b.CoolDown.ActiveS)), "cool-down length",
				"The person was still pedalling lightly.", fmt.Sprintf("You ended the cool-down after %s.", clock(active)),
				fmt.Sprintf("Keep it up for %s.", clock(b.CoolDown.ActiveS)))}
		}
		return []Opportunity{kept(c.EndedAtS)}
	},
}

// legHurts says whether a pain in a leg or a knee that could be known lasted at a second. Source: [PRACTICE-END-SIGNS].
func legHurts(b Rulebook, c *Course, at int) bool {
	pain := func(s body.Sign, grade int) bool { return (s == body.LegPain || s == body.KneePain) && isEnd(s, grade) }
	if _, known := noticed(b, c, pain, c.PedalAtS, at+1); !known {
		return false
	}
	return slices.ContainsFunc(c.Closing.Signs, func(s exercises.SignSpan) bool {
		return pain(body.Sign(s.Sign), s.Grade) && s.FromS <= at && at < s.ToS
	})
}

// coolSlack is how many seconds short a cool-down may be. Source: [CHOICE-LATENCY].
const coolSlack = 15
