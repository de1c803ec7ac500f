package render

import (
	"fmt"
	"math"

	"kilopond/cmd/internal/picture"
	"kilopond/grader"
)

// causeWords names a cause as it is read.
func causeWords(c grader.Cause) string {
	return map[grader.Cause]string{
		grader.CauseArithmetic: "Arithmetic", grader.CauseMaximum: "Predicted maximum", grader.CauseCounting: "Counting", grader.CauseUnsteady: "Not quite steady",
		grader.CauseOxygenCost: "Oxygen cost", grader.CauseBend: "Bend of the line", grader.CauseRemainder: "Remainder",
	}[c]
}

// split is margin T taken apart, when the report has that.
func split(r grader.Report) []Block {
	s := r.Split
	if s == nil || r.Margins.T.MlKgMin == nil || math.Abs(*r.Margins.T.MlKgMin) >= 1e6 {
		return nil
	}
	t := Table{Header: []string{"cause", "adds", "what it is"}, Wrap: -1}
	drawn := picture.Split{Whole: "T", Unit: "mL/kg/min", Sum: *r.Margins.T.MlKgMin}
	for _, c := range append(append([]grader.Contribution{}, s.Causes...), s.Remainder) {
		adds := "none (" + c.WhyNot + ")"
		if c.MlKgMin != nil {
			adds = fmt.Sprintf("%s mL/kg/min (%s %%)", Signed(*c.MlKgMin, 2), Signed(*c.Percent, 1))
		}
		t.Rows = append(t.Rows, []string{causeWords(c.Cause), adds, c.What})
		drawn.Parts = append(drawn.Parts, picture.Part{Name: causeWords(c.Cause), Adds: c.MlKgMin})
	}
	t.Rows = append(t.Rows, []string{"T", fmt.Sprintf("%s mL/kg/min (%s %%)", Signed(*r.Margins.T.MlKgMin, 2), Signed(*r.Margins.T.Percent, 1)),
		fmt.Sprintf("Your estimate of %s less the true %s.", Num(*r.Student.VO2Rel, 2), Num(*s.Remainder.Then, 2))})
	const caption = "T taken apart: its causes removed one after another in this order, on your path with your commands. Another order would share them out a little otherwise. Per cent is of the true VO2max."
	return []Block{Grid{Caption: caption, Between: ": ", Table: t}, Drawn{drawn}}
}
