package grader

import (
	"fmt"
	"strings"

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
	p := b.play()
	return []Consequence{
		b.countAndSteady(), b.pulsesInStage(), b.window(20), b.window(45), b.window(70), b.pressureInStage(), b.crewInStage(), b.firstTurn(), b.steps(p), b.extensions(p), b.estimable(p),
		b.rates(), b.parts(), b.points(),
	}
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
	fast, slow := b.cuffTime()
	room := float64(b.StageS - b.Count.Seconds - b.Pressure.FromS)
	c := Consequence{
		Path: "pressure.from_s", Doubt: room < slow,
		Says: fmt.Sprintf("a pressure let down from 200 mmHg takes %.0f–%.0f s; from %s to the last count of the stage there are %.0f s",
			fast, slow, clock(b.Pressure.FromS), room),
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

// pulsesInStage says how many pulses are due in a stage; whether it is steady is read from two minutes in a row.
func (b Rulebook) pulsesInStage() Consequence {
	minutes, due, row, before := b.StageS/60, 0, 0, -1
	for m := b.Count.First(); m <= minutes; m += b.Count.Every {
		if m == before+1 {
			row++
		}
		due++
		before = m
	}
	c := Consequence{Path: "count.every_minutes", Doubt: row == 0, Says: fmt.Sprintf("in a stage of %d min a pulse is due %s", minutes, times(due))}
	if c.Doubt {
		c.Says += fmt.Sprintf(", never in two minutes in a row: whether it is steady (%s) is then only known where more is counted than the rule asks", b.Steady)
	}
	return c
}

// crewInStage says how long one pair of hands is busy in a stage. Source: [CHOICE-DURATIONS], [CHOICE-HELPER].
func (b Rulebook) crewInStage() Consequence {
	const told = 2 // s, to send a helper
	minutes := b.StageS / 60
	counts := 0
	for m := b.Count.First(); m <= minutes; m += b.Count.Every {
		counts++
	}
	pulse := findPulseS + b.Count.Seconds
	if b.Crew == "pulse_helper" || b.Crew == "both" {
		pulse = told
	}
	busy := counts*(pulse+writeS) + minutes*(lookS+askS) + 2*checkS + askS + writeS
	fast, slow := b.cuffTime()
	if b.Crew == "pressure_helper" || b.Crew == "both" {
		fast, slow = told, told
	}
	least, most := float64(busy)+fast+writeS, float64(busy)+slow+writeS
	who := map[string]string{"solo": "alone", "pulse_helper": "with a helper at the wrist", "pressure_helper": "with a helper at the cuff", "both": "with a helper at the wrist and one at the cuff"}[b.Crew]
	c := Consequence{Path: "crew", Doubt: most > float64(b.StageS)}
	c.Says = fmt.Sprintf("%s, pulses, a pressure, looks, questions, checks and writing take %.0f–%.0f s of the %d of a stage", who, least, most, b.StageS)
	if least == most {
		c.Says = fmt.Sprintf("%s, pulses, looks, questions, checks and writing take %.0f s of the %d of a stage", who, most, b.StageS)
	}
	if c.Doubt {
		c.Says += ": the pressure then ends after the stage, or something is left out"
	}
	return c
}

// cuffTime is how long a pressure in exercise takes, in s, by the fastest and the slowest valve. Source: [CHOICE-CUFF].
func (b Rulebook) cuffTime() (fast, slow float64) {
	const top, bottom, pump = 200, 70, 11 // mmHg, mmHg, s to place and pump
	return pump + (top-bottom)/b.Pressure.ValveHigh, pump + (top-bottom)/b.Pressure.ValveLow
}

// rates says how the table of norms rates the middle of people who were measured on a cycle. Source: [RAPP2018].
func (b Rulebook) rates() Consequence {
	const age, men, women = 45, 36, 30 // y, mL/kg/min
	t := b.NormTable()
	m, w := t.Category(unit.Male, age, men), t.Category(unit.Female, age, women)
	all := protocol.Categories()
	lowest, highest := all[0], all[len(all)-1]
	return Consequence{
		Path: "norms", Doubt: m == lowest || m == highest || w == lowest || w == highest,
		Says: fmt.Sprintf("%s (%s): the middle man and woman of 10 090 Germans measured on a cycle, in their forties (%d and %d mL/kg/min), are rated %s and %s", t.Title, t.Mode, men, women, m, w),
	}
}

// parts says what may be left out by somebody who passes.
func (b Rulebook) parts() Consequence {
	w := b.Weights
	all := w.Safety + w.Validity + w.Procedure + w.Arithmetic
	c := Consequence{Path: "weights"}
	var without []string
	for _, p := range []struct {
		name   string
		weight float64
	}{{"safety", w.Safety}, {"validity", w.Validity}, {"procedure", w.Procedure}, {"arithmetic", w.Arithmetic}} {
		if left := 100 * (all - p.weight) / all; left >= b.PassPercent {
			without = append(without, p.name)
			c.Doubt = c.Doubt || p.name == "safety" || p.name == "validity"
		}
	}
	c.Says = fmt.Sprintf("safety %v, validity %v, procedure %v, arithmetic %v of %v points, %v %% pass", w.Safety, w.Validity, w.Procedure, w.Arithmetic, all, b.PassPercent)
	if len(without) > 0 {
		c.Says += ": somebody without a point for " + strings.Join(without, ", or for ") + ", and without another fault, passes"
	}
	return c
}

// heaviest is the share of all points from which one rule alone is doubted, in percent. Source: [CHOICE-RULECHECK].
const heaviest = 15

// points says which rules cost nothing, and what the dearest costs.
func (b Rulebook) points() Consequence {
	var free []string
	dearest, most, all := "", 0.0, 0.0
	for _, s := range Checklist(b) {
		for _, r := range s.Rules {
			all += r.Points
			if r.Points > most {
				dearest, most = r.Name, r.Points
			}
			if r.Points == 0 {
				free = append(free, r.Name)
			}
		}
	}
	share := 100 * most / all
	c := Consequence{Path: "points", Doubt: share > heaviest || len(free) > 0}
	c.Says = fmt.Sprintf("the dearest rule, %s, is %.1f %% of all points", dearest, share)
	if len(free) > 0 {
		c.Says += fmt.Sprintf("; %d cost nothing: %s", len(free), strings.Join(free, ", "))
	}
	return c
}

// times is a number of times in words.
func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
