package grader

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kilopond/exercises"
)

var ruleRecorded = Rule{
	Name:    "recorded",
	Part:    Procedure,
	Asks:    "Write down each reading of the test: count and rate, pressure, exertion.",
	Why:     "A number in the head is gone at the next one. What is not on the sheet cannot be compared, checked or used in the line.",
	Sources: []string{"PRACTICE-SHEET"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 {
			return nil
		}
		due, done := 0, 0
		var missing []string
		note := func(ok bool, what string) {
			due++
			if ok {
				done++
			} else if len(missing) < 3 {
				missing = append(missing, what)
			}
		}
		for _, s := range c.Stages {
			for _, r := range readings(c, s, lastSecond(c)) {
				k := r.Count
				if overtaken(b, c, k.KnownS) || k.KnownS > s.ToS {
					continue // the person came before the pen, or the load was another
				}
				note(k.WroteHR != nil && (k.Timed || k.WroteBeats != nil), fmt.Sprintf("pulse of stage %d minute %d", s.Number, r.Minute))
			}
			for _, k := range cuffsIn(c, s.FromS, s.ToS) {
				if k.read() && k.KnownS <= s.ToS { // else it came when the load was off
					note(k.WroteSystolic != nil, fmt.Sprintf("pressure of stage %d", s.Number))
					break
				}
			}
			if said := ratingsIn(c, s); len(said) > 0 {
				it, ok := wroteFor(c, exercises.KeyRPE, s.Number)
				what := fmt.Sprintf("exertion of stage %d", s.Number)
				if ok && !slices.Contains(said, strings.TrimSpace(it.Text)) {
					ok, what = false, what+fmt.Sprintf(" (%s was said, %s stands there)", said[len(said)-1], strings.TrimSpace(it.Text))
				}
				note(ok, what)
			}
		}
		if due == 0 {
			return nil
		}
		if done == due {
			return []Opportunity{kept(c.Stages[0].FromS)}
		}
		return []Opportunity{broken(c.Stages[0].FromS, float64(done)/float64(due), "recorded", fmt.Sprintf("You had %s of the stages.", howMany(due, "reading")),
			fmt.Sprintf("Not on the sheet (%d): %s.", due-done, strings.Join(missing, ", ")), "Write each reading down when you have it.")}
	},
}

// ratingsIn are the ratings of exertion given in a stage, as they are written.
func ratingsIn(c *Course, s StageRun) (said []string) {
	for _, e := range c.Exertions {
		if e.AtS >= s.FromS && e.AtS <= s.ToS {
			said = append(said, strconv.Itoa(int(e.RPE)))
		}
	}
	return said
}
