package grader

import (
	"fmt"
	"math"
)

// A verification is a doubtful value met during work, the second look that it asks for, and what that showed.
type verification struct {
	cause         string
	known, should string
	at            int  // s, when the doubtful value was known
	from, to      int  // s, of the second look
	begun         bool // there was one, were it cut short or not to be read
	repeated      bool // and it showed something
	confirmed     bool
	truly         bool   // the person's own, not a slip of ear or finger
	shown         string // what the second look showed, in a sentence
	good          string
}

// The causes of a verification.
const (
	pressureFell = "pressure fall"
	unevenPulse  = "uneven pulse"
	flatRate     = "flat rate"
)

// judge is the one opportunity that a doubtful value gives: begun soon, done before the load is raised, and the test ended when it is confirmed.
func (v verification) judge(b Rulebook, c *Course) []Opportunity {
	raised := raisedAfter(c, v.at)
	if n, sign := noticed(b, c, isEmergency, c.PedalAtS, endOr(c)+1); sign && n.AtS <= v.at+b.Stop.VerifyDoneS && (raised < 0 || n.AtS <= raised) {
		if idle := n.AtS - busyUntil(b, c, v); !v.begun && idle > b.Stop.VerifyBeginS {
			return []Opportunity{broken(v.at, 0, v.cause, v.known, fmt.Sprintf("You did not begin a repeat in %d s, until the person showed what was wrong.", idle), v.should)}
		}
		return nil // the person comes first: stop-emergency judges this; not when the load was raised before the sign
	}
	const stopMissed = "a stop was missed"
	switch {
	case !v.repeated && raised < 0 && c.EndedAtS >= 0 && c.EndedAtS <= v.at+b.Stop.VerifyDoneS:
		if endReason(b, c, c.EndedAtS) != "" {
			return nil // the end was due without it
		}
		return []Opportunity{broken(v.at, 0.5, v.cause, v.known, "You ended the test on one reading.", v.should)}
	case !v.repeated:
		o := broken(v.at, 0, v.cause, v.known, "You went on without a repeat.", v.should)
		if raised >= 0 {
			o.Finding.Did = fmt.Sprintf("You did not repeat it and raised the load at %s.", where(c, raised))
			if v.truly {
				o = o.closing(stopMissed)
			}
		}
		return []Opportunity{o}
	case raised >= 0 && raised < v.from:
		return []Opportunity{broken(v.at, 0, v.cause, v.known, "You raised the load before you repeated it.", v.should)}
	}
	if v.confirmed {
		mark := max(v.to, v.at+v.to-v.from) + 60 // by the next minute mark. Source: [CHOICE-LATENCY].
		if raised >= 0 || c.EndedAtS < 0 {
			return []Opportunity{broken(v.to, 0, v.cause, v.shown, "You went on with the test.", v.should).closing(stopMissed)}
		}
		if c.EndedAtS > mark {
			return []Opportunity{broken(v.to, 0.25, v.cause, v.shown, fmt.Sprintf("You ended the test %d s later.", c.EndedAtS-v.to),
				"End the test by the next minute mark.")}
		}
	}
	if late := v.from - busyUntil(b, c, v); late > b.Stop.VerifyBeginS {
		return []Opportunity{broken(v.at, share(float64(late), float64(b.Stop.VerifyBeginS), float64(b.Stop.VerifyDoneS)), v.cause, v.known,
			fmt.Sprintf("You began the repeat %d s later.", late), v.should)}
	}
	o := kept(v.at)
	o.Good = v.good
	return []Opportunity{o}
}

// busyUntil is when the hands were free for the second look: when the value was known, or when another reading that was under way then, or begun
// at once to settle this or another doubt, was done or cut short. A doubt that comes while another is being settled waits for that.
func busyUntil(b Rulebook, c *Course, v verification) int {
	free := v.at
	if !v.begun {
		v.from = math.MaxInt
	}
	for _, k := range c.Counts {
		under := k.FromS-findPulseS <= v.at
		if k.FromS < v.from && k.ToS > free && (under || k.FromS <= v.at+b.Stop.VerifyBeginS && (k.CutShort || verifies(b, c, k))) {
			free = k.ToS
		}
	}
	for _, k := range c.Cuffs {
		under := k.FromS <= v.at
		if k.FromS < v.from && k.ToS > free && (under || k.FromS <= v.at+b.Stop.VerifyBeginS && repeats(b, c, k)) {
			free = k.ToS
		}
	}
	return free
}

// repeats says whether a pressure settles a fall.
func repeats(b Rulebook, c *Course, k CuffTake) bool {
	for _, f := range fallsOf(b, c) {
		if f.repeated && k.FromS >= f.begunS && k.FromS <= f.second.FromS {
			return true
		}
	}
	return false
}

// heldBy says whether a sign that can only be measured was the person's own while a reading was taken.
func heldBy(c *Course, sign string, at int) bool {
	for _, s := range c.Closing.Signs {
		if s.Sign == sign && s.FromS <= at && s.ToS > at-60 { // during the reading. Source: [CHOICE-WORDS-NEAR].
			return true
		}
	}
	return false
}
