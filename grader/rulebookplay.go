package grader

import (
	"fmt"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// How many people play a rulebook that is checked, and from which shares on it is doubted, in percent. Source: [CHOICE-RULECHECK].
const (
	checkPeople  = 200
	fewestLines  = 65 // of those tested, with a line through two stages; by the rules that ship it is about three in four
	mostUnsteady = 10 // of the stages that no minute may be added to
	mostOver     = 15 // of those tested, whom one load takes from below the window to the ceiling
)

// A played is what came of people tested by a rulebook.
type played struct {
	tested, lines, singles   int
	stages, longer, unsteady int // stages that came to their last count; with a minute more; not steady in the end
	over                     int // people
}

// play tests people of the general mix from 18 to 79 years, the same for every rulebook.
func (b Rulebook) play() (all played) {
	of, err := scenarios.NewPopulation(scenarios.General, []unit.Sex{unit.Female, unit.Male}, 18, 79)
	if err != nil {
		panic("grader: the general mix: " + err.Error())
	}
	trial := NewTrial(b, PulseMethod(fmt.Sprintf("count%d", b.Count.Seconds)))
	for i := range checkPeople {
		p := of.Draw(scenarios.Seed(1).Row(i))
		r := trial.Run(p, 1)
		if r.StopReason == StopNotTested {
			continue
		}
		all.tested++
		switch {
		case r.Answer.Confidence == "two points or more":
			all.lines++
		case r.Answer.Estimable:
			all.singles++
		}
		below := false
		for j, s := range trial.stages {
			last := j == len(trial.stages)-1
			if s.Void == "" && len(s.Minutes) >= b.StageS/60 && !(last && r.StopReason == StopCeiling) {
				all.stages++
				if len(s.Minutes) > b.StageS/60 {
					all.longer++
				}
				if !protocol.Steady(b.Steady, b.Count, s.Minutes) {
					all.unsteady++
				}
			}
			if last && below && r.StopReason == StopCeiling {
				all.over++
			}
			below = len(s.Minutes) > 0 && protocol.StageHR(b.StageHR, s.Minutes) < b.WindowLow
		}
	}
	return all
}

// estimable says how many people can be estimated.
func (b Rulebook) estimable(p played) Consequence {
	share := percent(p.lines, p.tested)
	c := Consequence{
		Path: "qualifying_stages", Doubt: share < fewestLines,
		Says: fmt.Sprintf("of %d synthetic people from 18 to 79 tested by these rules, %.0f %% end with a line", p.tested, share),
	}
	if b.OnePoint == protocol.SingleStageValue {
		c.Says += fmt.Sprintf(", %.0f %% with a single-stage value, %.0f %% with nothing", percent(p.singles, p.tested), percent(p.tested-p.lines-p.singles, p.tested))
	} else {
		c.Says += fmt.Sprintf(", %.0f %% with nothing", percent(p.tested-p.lines-p.singles, p.tested))
	}
	return c
}

// steps says how many people one load takes over the whole window.
func (b Rulebook) steps(p played) Consequence {
	share := percent(p.over, p.tested)
	largest, at := unit.WorkRate(0), 0
	for _, band := range b.Bands {
		before := b.FirstWorkRate
		for j, w := range band.WorkRates {
			if w-before > largest {
				largest, at = w-before, j+2
			}
			before = w
		}
	}
	if b.StepAfterTable > largest {
		largest, at = b.StepAfterTable, 0
	}
	where := fmt.Sprintf("into stage %d", at)
	if at == 0 {
		where = "after the table"
	}
	return Consequence{
		Path: "bands", Doubt: share > mostOver,
		Says: fmt.Sprintf("the largest step, %s, is %v kg·m/min; of %d people tested, one load takes %.0f %% from below %v bpm to the ceiling, so that no stage of theirs is in the window",
			where, largest, p.tested, share, b.WindowLow),
	}
}

// extensions says how many stages need a minute more, and how many stay unsteady.
func (b Rulebook) extensions(p played) Consequence {
	share := percent(p.unsteady, p.stages)
	c := Consequence{Path: "max_extensions", Doubt: share > mostUnsteady}
	if b.MaxExtensions == 0 {
		c.Says = fmt.Sprintf("of %d stages of these people %.0f %% are not steady in the last minute, and no minute may be added: they are left out of the line", p.stages, share)
		return c
	}
	c.Says = fmt.Sprintf("of %d stages of these people %.0f %% take a minute more, and with at most %d such minutes %.0f %% are still not steady", p.stages, percent(p.longer, p.stages), b.MaxExtensions, share)
	return c
}

func percent(part, whole int) float64 {
	if whole == 0 {
		return 0
	}
	return 100 * float64(part) / float64(whole)
}
