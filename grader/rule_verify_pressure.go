package grader

import "fmt"

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
		const cause = "pressure fall"
		known := fmt.Sprintf("Systolic %.0f mmHg, after %.0f mmHg in the stage before.", f.first.systolic(), f.before)
		should := fmt.Sprintf("Repeat the pressure within %d s at the same load; when it stays low, end the test.", b.Stop.VerifyBeginS)
		at := f.first.ToS
		end := endOr(c)
		if n, sign := noticed(b, c, isEmergency, c.PedalAtS, end+1); sign && n.AtS <= at+b.Stop.VerifyDoneS {
			return nil // the person comes first: stop-emergency judges this
		}
		raised := raisedAfter(c, at)
		switch {
		case !f.repeated && c.EndedAtS >= 0 && c.EndedAtS <= at+b.Stop.VerifyDoneS:
			return []Opportunity{broken(at, 0.5, cause, known, "You ended the test on one reading.", should)}
		case !f.repeated:
			o := broken(at, 0, cause, known, "You went on without a repeat.", should)
			if raised >= 0 {
				o.Finding.Did = fmt.Sprintf("You did not repeat it and raised the load at %s.", where(c, raised))
				if trulyFell(c, at) {
					o = o.closing("a stop was missed")
				}
			}
			return []Opportunity{o}
		case raised >= 0 && raised < f.second.FromS:
			return []Opportunity{broken(at, 0, cause, known, "You raised the load before you repeated it.", should)}
		}
		late := f.second.FromS - at
		if f.confirmed {
			mark := at + max(late, 0) + (f.second.ToS - f.second.FromS) + 60 // by the next minute mark. Source: [CHOICE-LATENCY].
			if raised >= 0 || c.EndedAtS < 0 {
				return []Opportunity{broken(f.second.ToS, 0, cause, fmt.Sprintf("The repeat gave %.0f mmHg, after %.0f mmHg in the stage before.",
					f.second.systolic(), f.before), "You went on with the test.", should).closing("a stop was missed")}
			}
			if c.EndedAtS > mark {
				return []Opportunity{broken(f.second.ToS, 0.25, cause, fmt.Sprintf("The repeat confirmed the fall: %.0f mmHg.", f.second.systolic()),
					fmt.Sprintf("You ended the test %d s later.", c.EndedAtS-f.second.ToS), "End the test by the next minute mark.")}
			}
		}
		if late > b.Stop.VerifyBeginS {
			return []Opportunity{broken(at, share(float64(late), float64(b.Stop.VerifyBeginS), float64(b.Stop.VerifyDoneS)), cause, known,
				fmt.Sprintf("You began the repeat %d s later.", late), should)}
		}
		o := kept(at)
		o.Good = fmt.Sprintf("You repeated a systolic pressure of %.0f mmHg before you acted on it.", f.first.systolic())
		return []Opportunity{o}
	},
}

// trulyFell says whether the fall was the person's and not the ear's.
func trulyFell(c *Course, at int) bool {
	for _, s := range c.Closing.Signs {
		if s.Sign == "pressure_fall" && s.FromS <= at && s.ToS > at-60 { // during the reading. Source: [CHOICE-WORDS-NEAR].
			return true
		}
	}
	return false
}
