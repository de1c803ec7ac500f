package grader

import (
	"fmt"
	"math"

	"kilopond/physiology/unit"
)

var rulePulseAccuracy = Rule{
	Name:    "pulse-accuracy",
	Part:    Procedure,
	Asks:    "Write the beats that were felt; ask a helper again whose number no pulse makes.",
	Why:     "One beat in 15 s is 4 bpm, and 4 bpm in the last stage moves the estimate by 10–16 %.",
	Helped:  "A helper's number stands as the reading: a beat too few or too many you cannot know, and it costs you nothing. A jump that no pulse makes must be asked about.",
	Sources: []string{"PHRE1033", "KOBAYASHI2013", "CHOICE-TOLERANCES"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		unasked := map[int]helperDoubt{}
		for _, d := range helperDoubts(b, c) {
			if !d.asked {
				unasked[d.count.FromS] = d
			}
		}
		for _, k := range c.Counts {
			if !whole(k) || k.WroteHR == nil && k.WroteBeats == nil {
				continue
			}
			if d, odd := unasked[k.FromS]; odd {
				o := broken(k.FromS, 0, pulseCause(k), fmt.Sprintf("%s The count before gave %.0f bpm.", k.said(), d.before.HR),
					fmt.Sprintf("You wrote %s and did not ask again.", wroteWords(k)), "Ask again (helper again), or feel the pulse yourself, before the load is raised.")
				o.Finding.Sources = []string{"CHOICE-HELPER-DOUBT"}
				list = append(list, o)
				continue
			}
			tolerance := pulseTolerance(b, k)
			wrote := k.HR
			if k.WroteBeats != nil && !k.Timed {
				wrote = k.HR + (unit.HR(*k.WroteBeats)-unit.HR(k.Beats))*60/unit.HR(max(1, k.Seconds))
			}
			what := fmt.Sprintf("You wrote %s.", wroteWords(k))
			if k.WroteBeats == nil {
				wrote = *k.WroteHR // else the beats are judged here, and the multiplying with the arithmetic
			}
			off := float64(wrote - k.HR)
			if toTruth := float64(wrote - k.True); k.True > 0 && math.Abs(toTruth) < math.Abs(off) {
				off = toTruth
			}
			credit := tolerance.Credit(off)
			if credit == 1 {
				list = append(list, kept(k.FromS))
				continue
			}
			should := "Count each beat once, by the clock, and multiply."
			if k.Helped {
				should = "Write what the helper reports, and multiply."
			}
			list = append(list, broken(k.FromS, credit, pulseCause(k), k.said(), what, should))
		}
		return list
	},
}

// pulseCause names a misread pulse as a cause.
func pulseCause(k Count) string { return fmt.Sprintf("pulse at %d", k.FromS) }

// pulseTolerance gives the error with full and with no credit: one and three beats of a 15-s count, one and two of a shorter one, or 2.5 and
// 8 % of a timed rate. Source: [CHOICE-TOLERANCES].
func pulseTolerance(b Rulebook, k Count) Tolerance {
	switch {
	case k.Timed:
		return Tolerance{0.025 * float64(k.HR), 0.08 * float64(k.HR)}
	case k.Seconds <= 10:
		return Tolerance{6, 12}
	}
	return b.Tolerances.PulseBPM
}

// wroteWords is what was written of a count.
func wroteWords(k Count) string {
	switch {
	case k.WroteBeats != nil && k.WroteHR != nil:
		return fmt.Sprintf("%d beats, %.0f bpm", *k.WroteBeats, *k.WroteHR)
	case k.WroteBeats != nil:
		return fmt.Sprintf("%d beats", *k.WroteBeats)
	}
	return fmt.Sprintf("%.0f bpm", *k.WroteHR)
}
