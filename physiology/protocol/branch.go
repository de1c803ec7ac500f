package protocol

import "kilopond/physiology/unit"

func rates(kgm ...unit.WorkRate) []unit.WorkRate { return kgm }

// takes reports whether the heart rate falls in the band. No rounding first: 89.5 is below 90.
func (b Band) takes(hr unit.HR) bool {
	switch {
	case b.Below > 0:
		return hr < b.Below
	case b.UpTo > 0:
		return hr <= b.UpTo
	}
	return true
}

// Branch returns the index of the band that the first-stage heart rate chooses, and the work rates of the stages from the second on. It panics
// when the rules have no band, which Check finds.
//
// Source: [CSEP2009], [HAND].
func Branch(r Rules, hr unit.HR) (band int, rates []unit.WorkRate) {
	for i, b := range r.Bands {
		if b.takes(hr) {
			return i, b.WorkRates
		}
	}
	return len(r.Bands) - 1, r.Bands[len(r.Bands)-1].WorkRates
}

// WorkRateOfStage returns the work rate of a stage, numbered from 1, once the band is chosen; beyond the table each stage adds the step.
//
// It panics on a stage below 1 or a band that is not in the rules. Source: [CSEP2009], [HAND]; after the table [PHRE1033].
func WorkRateOfStage(r Rules, band, stage int) unit.WorkRate {
	switch {
	case stage < 1:
		panic("protocol: stage must be ≥ 1")
	case stage == 1:
		return r.FirstWorkRate
	}
	table := r.Bands[band].WorkRates
	if stage-2 < len(table) {
		return table[stage-2]
	}
	return table[len(table)-1] + unit.WorkRate(stage-1-len(table))*r.StepAfterTable
}
