package render

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
)

// calculation is the student's numbers, the worked answer in every step, known slips, and the line as a picture.
func calculation(r grader.Report) []Block {
	yours := written(r.Student)
	if len(yours) == 0 {
		yours = []string{"nothing is written"}
	}
	blocks := []Block{
		Steps{Title: "Yours:", Items: yours},
		Steps{Title: "Worked on your own sheet:", Items: r.Worked.Steps, Notes: r.Worked.Warnings},
	}
	var slips []string
	for _, s := range r.Slips {
		name := boxName(exercises.Key(s.Item))
		slips = append(slips, fmt.Sprintf("A known slip in %s: you wrote %s; %s (%s). Right: %s.", name, s.Wrote, s.Name, s.How, s.Right))
	}
	if len(slips) > 0 {
		blocks = append(blocks, Bullets{slips})
	}
	if line := lineOf(r); len(line.Stages) > 0 || line.Student != nil {
		return append(blocks, Drawn{line})
	}
	return append(blocks, Say{Text: "No stage was ridden, so there is no line to draw."})
}

// written are the lines of the student's calculation; none when nothing is written.
func written(s grader.StudentEstimate) []string {
	var lines []string
	show := func(name string, x *float64, unit string) {
		if x != nil {
			lines = append(lines, fmt.Sprintf("%s %s%s", name, strings.Replace(fmt.Sprint(*x), "-", "−", 1), unit))
		}
	}
	text := func(name, s string) {
		if s != "" {
			lines = append(lines, name+" "+s)
		}
	}
	show("predicted maximum", s.MaxHR, " bpm")
	show("ceiling", s.Ceiling, " bpm")
	text("stages used", s.Points)
	show("slope", s.Slope, " bpm per kg·m/min")
	show("maximal work rate", s.MaxWorkRate, " kg·m/min")
	show("VO2max", s.VO2Rel, " mL/kg/min")
	show("VO2max", s.VO2Abs, " L/min")
	show("VO2max", s.METs, " METs")
	text("rating", s.Rating)
	show("error range ±", s.ErrorRange, " %")
	text("no estimate:", s.NoEstimate)
	return lines
}
