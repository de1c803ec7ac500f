package grader

import (
	"fmt"
	"strings"
)

var ruleScreenDecision = Rule{
	Name:    "screen-decision",
	Part:    Safety,
	Asks:    "Begin no test on a person whose health answers or resting values forbid it.",
	Why:     "Exercise multiplies a small risk at rest. The person is safe if the test waits; nothing that the test can show today is worth the other case.",
	Sources: []string{"ACSM8", "PARQ2011", "CHOICE-REST-LIMITS"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			if _, ok := mayRefuse(b, c); ok && refused(c) >= 0 {
				o := kept(refused(c))
				o.Good = "You did not test a person who should not be tested today."
				return []Opportunity{o}
			}
			return nil
		}
		const gate = "a test was begun on a person who should not have been tested"
		if f := flags(c); len(f) > 0 {
			known := fmt.Sprintf("The health questions would have told you of: %s.", strings.Join(f, ", "))
			if said := healthWords(c, f[0]); said != "" {
				known = "You were told: " + said
			}
			return []Opportunity{broken(c.PedalAtS, 0, "screening", known, "You began the test.",
				"Postpone, refer or refuse.").closing(gate)}
		}
		if r, high := lastHigh(b, c); high {
			return []Opportunity{broken(c.PedalAtS, 0, "screening", fmt.Sprintf("The last resting reading was %s.", r.text),
				"You began the test.", restLimits(b)).closing(gate)}
		}
		for _, kind := range []string{"pressure", "pulse"} {
			if truthTooHigh(b, c, kind) && !hasRest(b, c, kind) {
				return []Opportunity{broken(c.PedalAtS, 0, "screening", fmt.Sprintf("A resting %s would have been beyond the limit.", kind),
					"You began the test without it.", restLimits(b)).closing(gate)}
			}
		}
		if k, far := misreadRest(b, c); far {
			return []Opportunity{broken(c.PedalAtS, 0, cuffCause(k), fmt.Sprintf("The sounds gave %.0f/%.0f mmHg.", k.Systolic, k.Diastolic),
				fmt.Sprintf("You wrote %.0f/%.0f mmHg and began the test.", k.systolic(), k.diastolic()), restLimits(b)).closing(gate)}
		}
		if at, r, twice := decidedOnHigh(b, c); twice {
			return []Opportunity{broken(at, 0.5, "screening", fmt.Sprintf("Two resting readings of the %s were beyond the limit, the last %s.", r.kind, r.text),
				"You decided to test; the reading below the limit came only afterwards.", restLimits(b))}
		}
		return []Opportunity{kept(c.PedalAtS)}
	},
}

// decidedOnHigh finds a decision to test that was made on two readings of a kind in a row beyond the limit. A third before the test may mend what
// would have followed, not what was decided.
func decidedOnHigh(b Rulebook, c *Course) (at int, last restReading, ok bool) {
	for _, d := range c.Screening {
		if d.What != "test" {
			continue
		}
		runs := map[string]int{}
		for _, r := range restReadings(b, c) {
			if r.toS > d.AtS {
				break
			}
			if r.level == start {
				runs[r.kind] = 0
			} else if runs[r.kind]++; runs[r.kind] > 1 {
				last = r
			}
		}
		if last.kind != "" && runs[last.kind] > 1 {
			return d.AtS, last, true
		}
		return 0, restReading{}, false
	}
	return 0, restReading{}, false
}

// misreadRest finds a resting pressure that was beyond the limit by its sounds and was written so far off that it seemed within.
func misreadRest(b Rulebook, c *Course) (CuffTake, bool) {
	for i := len(c.Cuffs) - 1; i >= 0; i-- {
		k := c.Cuffs[i]
		if !k.read() || k.ToS > c.PedalAtS {
			continue
		}
		high := k.Systolic >= b.Screening.PostponeSBP || k.Diastolic >= b.Screening.PostponeDBP
		// Beyond 10 mmHg a resting reading is not a matter of hearing. Source: [BP1991].
		far := k.Systolic-k.systolic() > 10 || k.Diastolic-k.diastolic() > 10
		return k, high && far
	}
	return CuffTake{}, false
}

// restLimits says the resting limits in one sentence.
func restLimits(b Rulebook) string {
	s := b.Screening
	return fmt.Sprintf("Postpone when, after a repeat, the pulse is above %.0f bpm, more than %.0f beats a minute are odd, or the pressure is from %.0f/%.0f mmHg; refuse above %.0f/%.0f mmHg.",
		s.PostponeHR, s.OddBeats, s.PostponeSBP, s.PostponeDBP, s.RefuseSBP, s.RefuseDBP)
}

// refused is the second at which the test was postponed, referred or refused, −1 when it was not.
func refused(c *Course) int {
	for i := len(c.Screening) - 1; i >= 0; i-- {
		switch c.Screening[i].What {
		case "postpone", "refer", "refuse", "emergency":
			return c.Screening[i].AtS
		}
	}
	return -1
}

// mayRefuse says why a person may be left untested, from what the student could know; ok is false when nothing speaks for it.
func mayRefuse(b Rulebook, c *Course) (string, bool) {
	if len(flags(c)) > 0 {
		return "health answers", true
	}
	if r, high := lastHigh(b, c); high {
		return r.text, true
	}
	if _, ok := noticed(b, c, isEmergency, 0, lastSecond(c)+1); ok {
		return "a sign at rest", true
	}
	if _, ok := noticed(b, c, isEnd, 0, lastSecond(c)+1); ok {
		return "a sign at rest", true
	}
	return "", false
}
