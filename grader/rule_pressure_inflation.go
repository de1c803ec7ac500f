package grader

import (
	"fmt"
	"math"

	"kilopond/physiology/unit"
)

var rulePressureInflation = Rule{
	Name:    "pressure-inflation",
	Part:    Procedure,
	Asks:    "Pump above the first sound; when sounds are heard at once, let all air out and begin again higher.",
	Why:     "A cuff pumped too little starts in the middle of the sounds. The first mark is then taken for the systolic, and a healthy pressure looks like a fall.",
	Sources: []string{"WSU", "GAP"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for i, k := range c.Cuffs {
			if k.CutShort {
				continue
			}
			before, low := pumpedBelow(c, i)
			if !low && (k.read() || anySound(k.Heard) && k.Sounded && k.Systolic <= unit.Pressure(k.Top)-leastAbove) {
				list = append(list, kept(k.FromS))
				continue
			}
			again := false
			for _, later := range c.Cuffs[i+1:] {
				again = again || later.Stage == k.Stage && later.Top > k.Top // while the load is the same
			}
			if again || raisedAfter(c, k.ToS) < 0 && c.EndedAtS >= k.FromS && c.EndedAtS <= k.ToS+againWithin { // nobody pumps again for a test that is over
				list = append(list, kept(k.FromS))
				continue
			}
			known := fmt.Sprintf("You pumped to %d mmHg and heard sounds at once.", k.Top)
			switch {
			case low:
				known = fmt.Sprintf("You pumped to %d mmHg; the systolic pressure before, at no more load, was %.0f mmHg.", k.Top, before)
			case k.Sounded:
				known = fmt.Sprintf("You pumped to %d mmHg and heard the first sound at %.0f mmHg: too near to know that none came before it.", k.Top, k.Systolic)
			case !anySound(k.Heard):
				known = fmt.Sprintf("You pumped to %d mmHg and heard no sound.", k.Top)
			}
			list = append(list, broken(k.FromS, 0, fmt.Sprintf("inflation at %d", k.FromS), known,
				"You did not begin again higher.", fmt.Sprintf("Let all air out and pump %.0f mmHg higher.", b.Pressure.PumpAbove)))
		}
		return list
	},
}

// pumpedBelow says whether a cuff of a stage was pumped to less than the systolic pressure read last at work of no more load; that is what it
// returns. What is read of such a cuff is the first sound that could be heard, and not the first there was.
func pumpedBelow(c *Course, i int) (before unit.Pressure, low bool) {
	k := c.Cuffs[i]
	if k.Stage <= 0 {
		return 0, false
	}
	load := func(stage int) unit.Resistance {
		for _, s := range c.Stages {
			if s.Number == stage {
				return s.Resistance
			}
		}
		return unit.Resistance(math.Inf(1)) // at rest, where nerves may have raised it, and in recovery
	}
	for _, earlier := range c.Cuffs[:i] {
		if earlier.read() && earlier.KnownS <= k.FromS && load(earlier.Stage) <= load(k.Stage) {
			before = earlier.systolic()
		}
	}
	return before, unit.Pressure(k.Top) < before
}

// againWithin is how many seconds a second inflation may wait: a full release, and a pulse count that was due. Source: [GAP], [CHOICE-LATENCY].
const againWithin = 120

// anySound says whether anything but the pedals was heard.
func anySound(heard string) bool {
	for i := 0; i < len(heard); i++ {
		if heard[i] != '.' && heard[i] != 'c' {
			return true
		}
	}
	return false
}
