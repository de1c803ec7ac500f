package grader

import (
	"math"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// sameLoad says whether a load counts as set: within 5 %. Source: [CHOICE-LOAD-SET].
func sameLoad(got, want unit.WorkRate) bool {
	return math.Abs(float64(got-want)) <= 0.05*math.Abs(float64(want))
}

// branchHR is the heart rate that chooses the column, on the student's own readings of stage 1; ok is false without a reading.
func branchHR(b Rulebook, c *Course) (hr unit.HR, ok bool) {
	if len(c.Stages) == 0 {
		return 0, false
	}
	list := readings(c, c.Stages[0], c.Stages[0].ToS)
	if len(list) == 0 {
		return 0, false
	}
	return protocol.StageHR(b.BranchHR, rates(list)), true
}

// enteredColumn is the band whose second stage has the load that the student really set; ok is false when no band has it.
func enteredColumn(b Rulebook, c *Course) (band int, ok bool) {
	if len(c.Stages) < 2 {
		return 0, false
	}
	for i := range b.Bands {
		if sameLoad(c.Stages[1].WorkRate, protocol.WorkRateOfStage(b.Rules, i, 2)) {
			return i, true
		}
	}
	return 0, false
}

// dueWorkRate is the work rate that was due at a stage on the student's own path: the first of all, the column of their own stage-1
// rate, then the next in the column really entered, or one step more than the last load when no column has it.
func dueWorkRate(b Rulebook, c *Course, stage int) unit.WorkRate {
	switch {
	case stage <= 1 || len(c.Stages) == 0:
		return b.FirstWorkRate
	case stage == 2:
		if hr, ok := branchHR(b, c); ok {
			band, _ := protocol.Branch(b.Rules, hr)
			return protocol.WorkRateOfStage(b.Rules, band, 2)
		}
		return c.Stages[0].WorkRate + b.StepAfterTable
	}
	before := c.Stages[min(stage-2, len(c.Stages)-1)]
	if band, ok := enteredColumn(b, c); ok && sameLoad(before.WorkRate, protocol.WorkRateOfStage(b.Rules, band, stage-1)) {
		return protocol.WorkRateOfStage(b.Rules, band, stage)
	}
	return before.WorkRate + b.StepAfterTable
}

// dueResistance is dueWorkRate on the dial at the house's cadence.
func dueResistance(b Rulebook, c *Course, stage int) unit.Resistance {
	return dueWorkRate(b, c, stage).Resistance(b.Cadence)
}
