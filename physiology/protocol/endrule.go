package protocol

import "kilopond/physiology/unit"

// When the test ends by heart rate. Source: [HK], [PATH] at the ceiling; [CSEP2009] steady within 10 bpm of it.
const (
	EndAtCeiling EndRule = "at_85"
	EndWithinTen EndRule = "within10"
)

// EndRules lists the rules in the order of the page.
func EndRules() []EndRule { return []EndRule{EndAtCeiling, EndWithinTen} }

// AtCeiling reports whether a heart rate ends the test: at or above the ceiling, or, by the other rule, steady within 10 bpm of it.
func AtCeiling(r Rules, hr, ceiling unit.HR, steady bool) bool {
	if hr >= ceiling {
		return true
	}
	return r.End == EndWithinTen && steady && hr >= ceiling-10
}
