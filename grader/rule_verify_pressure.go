package grader

import (
	"fmt"

	"kilopond/physiology/body"
)

var ruleVerifyPressure = Rule{
	Name:    "verify-pressure",
	Part:    Safety,
	Asks:    "When the systolic pressure lies far below the stage before, repeat it at once at the same load; end the test when the repeat confirms it.",
	Why:     "With more work the pressure should rise. A fall can mean a failing pump; it can also be one missed sound. Only a repeat tells the two apart, and the load must wait for it.",
	Sources: []string{"BENJ", "AAFP2017", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		f, ok := fallOf(b, c)
		if !ok {
			return nil
		}
		return verification{
			cause:    pressureFell,
			known:    fmt.Sprintf("Systolic %.0f mmHg, after %.0f mmHg in the stage before.", f.first.systolic(), f.before),
			should:   fmt.Sprintf("Repeat the pressure within %d s at the same load; when it stays low, end the test.", b.Stop.VerifyBeginS),
			at:       f.first.KnownS,
			begun:    f.begunS > 0,
			repeated: f.repeated, from: f.begunS, to: f.second.KnownS,
			confirmed: f.confirmed,
			truly:     heldBy(c, string(body.PressureFall), f.first.ToS),
			shown:     fmt.Sprintf("The repeat gave %.0f mmHg, after %.0f in the stage before.", f.second.systolic(), f.before),
			good:      fmt.Sprintf("You repeated a systolic pressure of %.0f mmHg before you acted on it.", f.first.systolic()),
		}.judge(b, c)
	},
}
