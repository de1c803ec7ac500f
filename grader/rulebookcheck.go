package grader

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A Consequence is what a rulebook's settings come to, worked out on the spot.
type Consequence struct {
	Path  string `json:"path"` // of the setting that it hangs on
	Says  string `json:"says"`
	Doubt bool   `json:"doubt"` // it works, but look again
}

// Consequences works out what the rulebook comes to. What cannot work at all is refused when it is read.
func (b Rulebook) Consequences() []Consequence {
	return []Consequence{b.countAndSteady(), b.window(20), b.window(45), b.window(70), b.pressureInStage(), b.firstTurn()}
}

// countAndSteady says how often counting alone makes a steady person unsteady.
func (b Rulebook) countAndSteady() Consequence {
	share := 100 * protocol.UnsteadyByCounting(b.Steady, b.Count, 120)
	return Consequence{
		Path: "steady",
		Says: fmt.Sprintf("a %d-s count moves in steps of %d bpm; of people who are perfectly steady near 120 bpm it calls %.0f %% unsteady (%s)",
			b.Count.Seconds, 60/b.Count.Seconds, share, b.Steady),
		Doubt: share > 10,
	}
}

// narrowWindow is the width below which a stage can step over the window, in bpm: one stage raises the rate by 10 to 25. Source: [CHOICE-RULECHECK].
const narrowWindow = 15

// beyondShare is the share of people whose own maximum lies below the ceiling from which a rulebook is doubted, in percent. Source:
// [CHOICE-RULECHECK].
const beyondShare = 2

// beyond is the percentage of people of an age whose own maximum is below a heart rate: maxima scatter by 10 bpm about 208 − 0.7 age.
// Source: [TANAKA2001].
func beyond(hr unit.HR, age unit.Age) float64 {
	return 100 * distuv.Normal{Mu: 208 - 0.7*float64(age), Sigma: 10}.CDF(float64(hr))
}

// window says between which rates a stage counts at an age, at a resting rate of 70.
func (b Rulebook) window(age unit.Age) Consequence {
	const rest = 70
	c := Consequence{Path: "window_low_bpm"}
	most, err := protocol.PredictedMaxHR(b.MaxHR, unit.Male, age)
	if err != nil {
		return Consequence{Path: "max_hr", Says: err.Error(), Doubt: true}
	}
	ceiling := protocol.Ceiling(b.Rules, most, rest)
	high := min(protocol.WindowHigh(b.Rules, ceiling), ceiling)
	width := float64(high - b.WindowLow)
	c.Doubt = width < narrowWindow
	c.Says = fmt.Sprintf("at %v years, resting at %d bpm, a stage counts from %v to %.1f bpm", int(age), rest, b.WindowLow, float64(high))
	switch {
	case width <= 0:
		c.Says = fmt.Sprintf("at %v years, resting at %d bpm, the window is empty: the ceiling of %.1f bpm is not above %v", int(age), rest, float64(ceiling), b.WindowLow)
	case c.Doubt:
		c.Says += fmt.Sprintf(": %.1f bpm wide, so that one stage may step over it and few can be estimated", width)
	}
	if share := beyond(ceiling, age); share > beyondShare {
		c.Doubt = true
		c.Says += fmt.Sprintf("; of people of that age about %.0f %% never reach the ceiling of %.0f bpm", share, float64(ceiling))
	}
	return c
}

// pressureInStage says whether a pressure fits between its earliest second and the last count of a stage.
func (b Rulebook) pressureInStage() Consequence {
	const top, bottom, pump = 200, 70, 11 // mmHg, mmHg, s to place and pump. Source: [CHOICE-CUFF].
	slow, fast := pump+(top-bottom)/b.Pressure.ValveLow, pump+(top-bottom)/b.Pressure.ValveHigh
	room := float64(b.StageS - b.Count.Seconds - b.Pressure.FromS)
	c := Consequence{
		Path: "pressure.from_s", Doubt: room < slow,
		Says: fmt.Sprintf("a pressure let down from %d mmHg takes %.0f–%.0f s; from %s to the last count of the stage there are %.0f s",
			top, fast, slow, clock(b.Pressure.FromS), room),
	}
	if c.Doubt {
		c.Says += ": begin it late and finish it after the stage's last count, at the same load"
	}
	return c
}

// firstTurn says which loads follow the first stage.
func (b Rulebook) firstTurn() Consequence {
	c := Consequence{Path: "bands", Says: fmt.Sprintf("%d bands; after %v kg·m/min the next load is", len(b.Bands), b.FirstWorkRate)}
	for i, band := range b.Bands {
		if i > 0 {
			c.Says += ","
		}
		switch {
		case band.Below > 0:
			c.Says += fmt.Sprintf(" %v below %v bpm", band.WorkRates[0], band.Below)
		case band.UpTo > 0:
			c.Says += fmt.Sprintf(" %v up to %v bpm", band.WorkRates[0], band.UpTo)
		default:
			c.Says += fmt.Sprintf(" %v above", band.WorkRates[0])
		}
		c.Doubt = c.Doubt || band.HowKnown != ""
	}
	if c.Doubt {
		c.Says += "; part of this table is from memory: confirm it"
	}
	return c
}
