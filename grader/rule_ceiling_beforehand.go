package grader

import (
	"strings"

	"kilopond/exercises"
)

var ruleCeilingBeforehand = Rule{
	Name:    "ceiling-beforehand",
	Part:    Procedure,
	Asks:    "Before the person pedals, work out predicted maximum, ceiling, the ceiling as a count, and the band limits as counts.",
	Why:     "With the person breathing hard beside you there is no time to divide. Whoever has the counts on the sheet sees at once that a count is too high.",
	Sources: []string{"PHRE1033"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		names := []struct {
			key  exercises.Key
			name string
			part float64 // of the credit. Source: [CHOICE-POINTS].
		}{
			{exercises.KeyMaxHR, "predicted maximum", 0.25}, {exercises.KeyCeiling, "ceiling", 0.35},
			{exercises.KeyCeilingCount, "ceiling as a count", 0.2}, {exercises.KeyBandCounts, "band limits as counts", 0.2},
		}
		credit := 1.0
		var missing []string
		for _, n := range names {
			early := false
			for _, i := range written(c, n.key) {
				early = early || i.AtS <= c.PedalAtS
			}
			if !early {
				credit -= n.part
				missing = append(missing, n.name)
			}
		}
		if len(missing) == 0 {
			return []Opportunity{kept(c.PedalAtS)}
		}
		return []Opportunity{broken(c.PedalAtS, max(0, credit), "ceiling beforehand", "You knew the person's age and the house's rules.",
			"Not on the sheet before the start: "+strings.Join(missing, ", ")+".", "Work these out and write them down before the warm-up.")}
	},
}
