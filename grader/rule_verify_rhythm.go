package grader

import (
	"fmt"

	"kilopond/physiology/body"
)

var ruleVerifyRhythm = Rule{
	Name:    "verify-rhythm",
	Part:    Safety,
	Asks:    "When beats come early or stay away, feel again at once for half a minute or a whole one, at the same load; end the test when more than the house lets pass are odd.",
	Why:     "A finger that slips feels like a beat that never came, and a rare early beat is nobody's trouble. Many of them, newly come with the work, can be the first sign of a heart short of blood: a person without an electrocardiogram does not go on.",
	Sources: []string{"BENJ", "PRACTICE-EMERGENCY", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		d, ok := lastDoubt(b, c, unevenPulse)
		if !ok {
			return nil
		}
		v := d.verification()
		v.known = fmt.Sprintf("In the count of %d s %d gaps did not fit the others.", d.first.Seconds, d.first.Odd)
		v.should = fmt.Sprintf("Feel again within %d s for %d s or more; when more than %.0f a minute are odd, end the test.", b.Stop.VerifyBeginS, verifyingCountS, b.Stop.OddBeats)
		v.shown = fmt.Sprintf("In the longer count of %d s %d gaps did not fit.", d.second.Seconds, d.second.Odd)
		v.good = fmt.Sprintf("You felt an uneven pulse again for %d s before you acted on it.", d.second.Seconds)
		v.truly = heldBy(c, string(body.IrregularPulse), d.first.ToS)
		return v.judge(b, c)
	},
}
