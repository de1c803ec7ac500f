package grader

import (
	"fmt"

	"kilopond/physiology/body"
)

var ruleVerifyRate = Rule{
	Name:    "verify-rate",
	Part:    Safety,
	Asks:    "When the heart rate does not rise with the load, feel again for half a minute at the same load; end the test when it stays where it was.",
	Why:     "Heart rate carries the extra blood that extra work needs. Where it stays behind, the heart or a drug holds it, or the load is not there; the line would promise a splendid fitness that is not true.",
	Sources: []string{"BENJ", "PRACTICE-EMERGENCY", "CHOICE-LEAST-RISE", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		d, ok := lastDoubt(b, c, flatRate)
		if !ok {
			return nil
		}
		v := d.verification()
		v.known = fmt.Sprintf("%.0f bpm, after %.0f bpm at the smaller load before.", d.first.Reading(), d.before)
		v.should = fmt.Sprintf("Feel again within %d s for %d s or more; when the rise is not more than %.0f bpm, end the test.", b.Stop.VerifyBeginS, verifyingCountS, b.Stop.LeastRise)
		v.shown = fmt.Sprintf("The longer count gave %.0f bpm, after %.0f bpm at the smaller load before.", d.second.Reading(), d.before)
		v.good = fmt.Sprintf("You felt a rate of %.0f bpm, hardly higher than before, again for %d s before you acted on it.", d.first.Reading(), d.second.Seconds)
		v.truly = heldBy(c, string(body.RateFlat), d.first.ToS)
		return v.judge(b, c)
	},
}
