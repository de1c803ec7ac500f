package grader

import (
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// oneMoreMinute says whether a stage must be extended: its last two minutes do not agree, and the house allows another.
func oneMoreMinute(b Rulebook, minutes []unit.HR, extensions int) bool {
	n := len(minutes)
	return n >= 2 && extensions < b.MaxExtensions && !steadyPair(b, minutes[n-2], minutes[n-1])
}

// loadAfter is the work rate of a stage from the second on: that of the column which the first stage chose, or one step more than the last
// work rate when the first stage has no reading.
func loadAfter(b Rulebook, firstStage []unit.HR, last unit.WorkRate, stage int) unit.WorkRate {
	if len(firstStage) == 0 {
		return last + b.StepAfterTable
	}
	band, _ := protocol.Branch(b.Rules, protocol.StageHR(b.BranchHR, firstStage))
	return protocol.WorkRateOfStage(b.Rules, band, stage)
}

// restingSaysNo says whether resting values keep a person from the test.
func restingSaysNo(b Rulebook, hr unit.HR, systolic, diastolic unit.Pressure) bool {
	return hr > b.Screening.PostponeHR || systolic >= b.Screening.PostponeSBP || diastolic >= b.Screening.PostponeDBP
}

// pressureTooHigh says whether a pressure during work ends the test.
func pressureTooHigh(b Rulebook, systolic, diastolic unit.Pressure) bool {
	return systolic > b.Stop.SystolicMax || diastolic > b.Stop.DiastolicMax
}

// fallConfirmed says whether the repeat of a low systolic pressure confirms the fall: low again, or below rest. rest 0 is not known.
func fallConfirmed(b Rulebook, again, stageBefore, rest unit.Pressure) bool {
	return again <= stageBefore-b.Stop.SystolicFall || rest > 0 && again < rest
}
