package grader

import (
	"fmt"

	"kilopond/exercises"
)

var ruleStageCount = Rule{
	Name:    "stage-count",
	Part:    Validity,
	Asks:    "Go on until two steady stages lie in the window, unless something asks for an end.",
	Why:     "One point gives no slope. With two, the heart rate at a known load can be carried to the predicted maximum.",
	Sources: []string{"CSEP2009", "KINE4315"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 || c.EndedAtS < 0 {
			return nil
		}
		have := len(qualifying(b, c))
		if have >= b.StagesNeeded || endReason(b, c, c.EndedAtS) != "" {
			return []Opportunity{kept(c.EndedAtS)}
		}
		cause := "ended early"
		if countedAfterWork(c) > 0 {
			cause = afterWork
		}
		if by := displacedBy(b, c, c.EndedAtS-60, c.EndedAtS); by != "" {
			cause = by // ended for one odd reading: the rule that asks for a second one judges that
		}
		if missing := missingPulse(b, c); missing != "" {
			cause = missing // the stage cannot be judged for want of a count, which is charged where it was due
		}
		if c.EndedHow == exercises.Stop {
			cause = "ended early" // false-stop judges a stop at once for nothing
		}
		return []Opportunity{broken(c.EndedAtS, 0, cause, fmt.Sprintf("%d of %d stages were steady and inside the window.", have, b.StagesNeeded),
			"You ended the test, though nothing asked for an end.", "Go on along the column until enough stages qualify or the ceiling is reached.")}
	},
}
