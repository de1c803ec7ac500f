package protocol

import (
	"fmt"

	"kilopond/physiology/unit"
)

// The oxygen cost of leg cycling, total for a person: 1.8 mL for each kg·m and 7 mL/kg/min; the older 2.0 with 3.5 mL/kg/min; and 2.0 with
// 300 mL/min for anyone. Source: [BUSHMAN2020]; [PAPER-OLD-COST]; [SARTOR2013].
const (
	LegCost      O2Cost = "leg_1.8_7"
	LegCostOld   O2Cost = "leg_2.0_3.5"
	LegCostFixed O2Cost = "leg_2.0_300"
)

// O2Costs lists the equations in the order of the page.
func O2Costs() []O2Cost { return []O2Cost{LegCost, LegCostOld, LegCostFixed} }

// The range for which the current equation is published. Source: [BUSHMAN2020].
const (
	CostFrom unit.WorkRate = 300
	CostTo   unit.WorkRate = 1200
)

func (c O2Cost) parts() (perKgm, perKg, fixed float64) {
	switch c {
	case LegCostOld:
		return 2.0, 3.5, 0
	case LegCostFixed:
		return 2.0, 0, 300
	}
	return 1.8, 7, 0
}

// VO2 returns the gross oxygen uptake of leg cycling at the work rate. Valid from 300 to 1200 kg·m/min, steady.
func (c O2Cost) VO2(w unit.WorkRate, m unit.Mass) unit.VO2 {
	perKgm, perKg, fixed := c.parts()
	return unit.VO2(float64(perKgm*float64(w)) + float64(perKg*float64(m)) + fixed)
}

// WorkRate returns the work rate that costs the uptake: VO2 turned round.
func (c O2Cost) WorkRate(v unit.VO2, m unit.Mass) unit.WorkRate {
	perKgm, perKg, fixed := c.parts()
	return unit.WorkRate((float64(v) - float64(perKg*float64(m)) - fixed) / perKgm)
}

// written returns the equation in mL/kg/min with the numbers put in.
func (c O2Cost) written(w unit.WorkRate, m unit.Mass) string {
	perKgm, perKg, fixed := c.parts()
	if fixed > 0 {
		return fmt.Sprintf("(%s × %s + %s) / %s", num(perKgm), num1(float64(w)), num(fixed), num(float64(m)))
	}
	return fmt.Sprintf("%s × %s / %s + %s", num(perKgm), num1(float64(w)), num(float64(m)), num(perKg))
}
