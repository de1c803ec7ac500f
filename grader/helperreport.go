package grader

import "fmt"

// How far a helper's count may lie from the one before it and be believed, in bpm: within a stage either way, and after a change of the load.
// Source: [CHOICE-HELPER-DOUBT].
const (
	believedChange = 25
	believedFall   = 15
	believedRise   = 45
)

// A helperDoubt is a helper's number that no pulse makes, going by the counts before it.
type helperDoubt struct {
	count  Count
	before Count // the last that could be believed
	asked  bool  // the helper was asked again, or the pulse felt again before the load was raised
}

// helperDoubts are the numbers of helpers, up to the end of the test, that asked for another look: of two that cannot go together the later one, as
// the earlier was believed. One that a second count bears out is believed.
func helperDoubts(b Rulebook, c *Course) (all []helperDoubt) {
	var before, odd *Count
	for i := range c.Counts {
		k := &c.Counts[i]
		if k.Stage < 0 || !whole(*k) {
			continue // the recovery may fall as it will
		}
		if k.Helped && before != nil && !follows(*before, *k) && (odd == nil || !follows(*odd, *k)) {
			all = append(all, helperDoubt{*k, *before, k.Again || feltAgain(b, c, *k)})
			odd = k
			continue
		}
		before, odd = k, nil
	}
	return all
}

// follows says whether a pulse can go from one count to the next.
func follows(before, k Count) bool {
	change := k.HR - before.HR
	if before.Stage == k.Stage {
		return change >= -believedChange && change <= believedChange
	}
	return change >= -believedFall && change <= believedRise
}

// feltAgain says whether another count was begun in time, and before the load was raised.
func feltAgain(b Rulebook, c *Course, k Count) bool {
	raised := raisedAfter(c, k.KnownS)
	for _, again := range c.Counts {
		if again.FromS >= k.ToS && again.FromS <= k.KnownS+b.Stop.VerifyDoneS && (raised < 0 || again.FromS < raised) && again.Stage == k.Stage {
			return true
		}
	}
	return false
}

// said is how the student knew of a count.
func (c Count) said() string {
	if c.Helped {
		return fmt.Sprintf("The helper said %d beats in %d s: %.0f bpm.", c.Beats, c.Seconds, c.HR)
	}
	return fmt.Sprintf("You felt %d beats: %.0f bpm.", c.Beats, c.HR)
}

// said is how the student knew of a pressure.
func (k CuffTake) said() string {
	if k.Helped {
		return fmt.Sprintf("The helper said %.0f over %.0f mmHg.", k.Systolic, k.Diastolic)
	}
	return fmt.Sprintf("What you heard is read as %.0f/%.0f mmHg.", k.Systolic, k.Diastolic)
}
