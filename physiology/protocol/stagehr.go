package protocol

import "kilopond/physiology/unit"

// Which heart rate stands for a stage. Source: [HK] mean of the last two minutes; last reading [PRACTICE-LAST].
const (
	MeanLastTwo StageHRRule = "mean_last_two"
	LastMinute  StageHRRule = "last"
)

// StageHRRules lists the rules in the order of the page.
func StageHRRules() []StageHRRule { return []StageHRRule{MeanLastTwo, LastMinute} }

// StageHR returns the heart rate that stands for the stage; it panics without a minute.
func StageHR(rule StageHRRule, minutes []unit.HR) unit.HR {
	n := len(minutes)
	if n == 0 {
		panic("protocol: a stage needs a minute")
	}
	if rule == MeanLastTwo && n >= 2 {
		return (minutes[n-2] + minutes[n-1]) / 2
	}
	return minutes[n-1]
}
