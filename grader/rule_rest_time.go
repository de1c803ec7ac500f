package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleRestTime = Rule{
	Name:    "rest-time",
	Part:    Procedure,
	Asks:    "Let the person sit quietly, then take the resting pulse and the resting pressure.",
	Why:     "Too little rest reads 4–12 mmHg high and the pulse with it. Then the wrong person is sent home, or the baseline is too high to show a fall.",
	Sources: []string{"ACSM8", "KALLIOINEN2017"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		should := fmt.Sprintf("Rest the person for %s, then take pulse and pressure.", clock(b.Screening.RestS))
		for _, kind := range []string{"pressure", "pulse"} {
			if !restedBefore(b, c, kind) {
				return []Opportunity{broken(c.PedalAtS, 0, "rest "+kind, fmt.Sprintf("You had no resting %s.", kind), "You started the pedalling.", should)}
			}
		}
		first := restReadings(b, c)[0]
		quiet := first.fromS - lastStir(c, first.fromS)
		if short := b.Screening.RestS - quiet; short > restSlack {
			return []Opportunity{broken(first.fromS, share(float64(short), restSlack, float64(b.Screening.RestS)), "rest time",
				fmt.Sprintf("The person had been sitting quietly for %s.", clock(quiet)), "You took the first resting reading.", should)}
		}
		return []Opportunity{kept(first.fromS)}
	},
}

// restSlack is how many seconds short a rest may be. Source: [CHOICE-REPEAT-SLACK].
const restSlack = 15

// lastStir is the second before until at which the person last did something else than sit quietly.
func lastStir(c *Course, until int) int {
	last := 0
	if c.State == nil {
		return last
	}
	for _, e := range c.State.Events {
		if e.AtS > until {
			break
		}
		switch f := e.Fact.(type) {
		case exercises.Prepared:
			if f.Act != exercises.Rest && f.Act != exercises.Check && f.Act != exercises.Cuff {
				last = e.AtS
			}
		case exercises.Seated, exercises.Measured:
			last = e.AtS
		}
	}
	return last
}

// restedBefore says whether a reading of the kind was taken before the person last took place on the cycle, or at all when they sat nowhere else.
func restedBefore(b Rulebook, c *Course, kind string) bool {
	cycle := seatedOnCycle(c)
	for _, r := range restReadings(b, c) {
		if r.kind == kind && (cycle < 0 || r.toS <= cycle) {
			return true
		}
	}
	return false
}
