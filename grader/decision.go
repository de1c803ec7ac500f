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

// brakeSlack is by how much of its load the brake's scale may stand below the dial before it is set again. Source: [CHOICE-LOAD-SLACK].
const brakeSlack = 0.1

// brakeGaveWay says whether the scale of the brake shows too little for what was set.
func brakeGaveWay(set unit.Resistance, read float64) bool {
	return set > 0 && read <= float64(set)*(1-brakeSlack)-scaleStep/2
}

// scaleStep is in what steps the scale is read, in kp. Source: [CHOICE-LOAD-SLACK].
const scaleStep = 0.1

// A feltPulse is what one count told of rate and rhythm.
type feltPulse struct {
	minute, seconds, odd int
	hr                   unit.HR
}

// uneven says whether more than so many beats a minute came early or were missing. Two in one count say nothing: a finger misses some, too.
func (p feltPulse) uneven(perMin float64) bool {
	return p.odd >= leastOdd && float64(60*p.odd) > perMin*float64(p.seconds)
}

// leastOdd is how many gaps must be odd before a count is doubted: with one beat in a hundred missed, two come together in one 15-s count of
// thirty at 130 bpm, three in one of two hundred. Source: [CHOICE-ODD-GAPS].
const leastOdd = 3

// verifyingCountS is how long a count must be to settle a doubt about the pulse, in s. Source: [PRACTICE-EMERGENCY].
const verifyingCountS = 30

// asksAgain is the test that a count of a stage must pass: even, or, from the last planned minute on, higher than in the stage before.
func asksAgain(b Rulebook, cause string, before unit.HR) func(feltPulse) bool {
	if cause == unevenPulse {
		return func(k feltPulse) bool { return k.uneven(b.Stop.OddBeats) }
	}
	return func(k feltPulse) bool {
		return before > 0 && k.minute >= b.StageS/60 && k.hr-before <= b.Stop.LeastRise
	}
}

// firstDoubt finds among the counts of one stage, in order, the first that asks for another and the longer one after it that settles it; −1
// where there is none.
func firstDoubt(counts []feltPulse, asks func(feltPulse) bool) (doubt, settles int) {
	doubt = -1
	for i, k := range counts {
		switch {
		case doubt < 0 && asks(k):
			doubt = i
		case doubt >= 0 && k.seconds >= verifyingCountS:
			return doubt, i
		}
	}
	return doubt, -1
}

// pressureTooHigh says whether a pressure during work ends the test.
func pressureTooHigh(b Rulebook, systolic, diastolic unit.Pressure) bool {
	return systolic > b.Stop.SystolicMax || diastolic > b.Stop.DiastolicMax
}

// beyondLimit says whether a cuff pumped above the limit was met by sounds at once: the systolic pressure is higher still.
func beyondLimit(b Rulebook, top int, atOnce bool) bool {
	return atOnce && unit.Pressure(top) > b.Stop.SystolicMax
}

// fallConfirmed says whether the repeat of a low systolic pressure confirms the fall: low again, or below rest. rest 0 is not known.
func fallConfirmed(b Rulebook, again, stageBefore, rest unit.Pressure) bool {
	return again <= stageBefore-b.Stop.SystolicFall || rest > 0 && again < rest
}
