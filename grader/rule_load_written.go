package grader

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kilopond/exercises"
)

var ruleLoadWritten = Rule{
	Name:    "load-written",
	Part:    Procedure,
	Asks:    "Write the resistance of each stage, as it was set.",
	Why:     "The line is drawn at the loads on the sheet. If they are the planned and not the set ones, the estimate belongs to another test.",
	Sources: []string{"PRACTICE-SHEET"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		for _, s := range c.Stages {
			if s.ToS-s.FromS < 60 { // too short for the pen. Source: [CHOICE-LATENCY].
				continue
			}
			item, ok := wroteFor(c, exercises.KeyResistance, s.Number)
			cause := fmt.Sprintf("load on the sheet, stage %d", s.Number)
			known := fmt.Sprintf("Stage %d was set to %.1f kp.", s.Number, s.Resistance)
			should := "Write the resistance when you set it."
			if !ok {
				list = append(list, broken(s.FromS, 0, cause, known, "You wrote no resistance for it.", should))
				continue
			}
			wrote, err := strconv.ParseFloat(strings.TrimSpace(strings.ReplaceAll(item.Text, ",", ".")), 64)
			if err != nil || math.Abs(wrote-float64(s.Resistance)) > 0.05*float64(s.Resistance) { // as set. Source: [CHOICE-LOAD-SET].
				list = append(list, broken(s.FromS, 0, cause, known, fmt.Sprintf("You wrote “%s”.", brief(item.Text)), should))
				continue
			}
			list = append(list, kept(s.FromS))
		}
		return list
	},
}
