package protocol

import "kilopond/physiology/unit"

// What a single qualifying stage gives. Source: [CHOICE-RULEBOOK]; no printed rule was found.
const (
	SingleStageValue OnePointRule = "single_stage"
	NoSingleStage    OnePointRule = "none"
)

// SingleStageConstant is the heart rate at which the single-stage line meets no oxygen uptake: 61 for men, 72 for women.
// Source: [SHEPHARD1972], from memory; the 72 also in [SARTOR2013].
func SingleStageConstant(sex unit.Sex) unit.HR {
	if sex == unit.Female {
		return 72
	}
	return 61
}

// SingleStageFrom and SingleStageTo are the heart rates for which the single-stage equation is meant, in bpm. Source: [SHEPHARD1972].
const SingleStageFrom, SingleStageTo unit.HR = 120, 170

// SingleStage returns VO2max from one steady stage, in the unit of vo2. Meant for heart rates of SingleStageFrom to SingleStageTo; low confidence.
// At SingleStageConstant or below it has no meaning: the caller asks for a value above 0.
// Source: [SHEPHARD1972].
func SingleStage(sex unit.Sex, vo2 float64, hr, maxHR unit.HR) float64 {
	c := SingleStageConstant(sex)
	return vo2 * float64(maxHR-c) / float64(hr-c)
}
