package render

import (
	"fmt"
	"io"
	"strings"

	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// Caution is the line that stands wherever advice could be read into what the tool says.
const Caution = "For teaching on synthetic subjects. A real test needs trained staff, screening, an emergency plan, and the rules of your institution and of licensed practice."

// Report writes the verdict on an attempt as text of 80 columns.
func Report(w io.Writer, r grader.Report) error {
	p := &printer{w: w}
	p.head("Report")
	p.verdict(r)
	p.findings(r)
	p.course(r)
	p.calculation(r)
	p.margins(r)
	p.truth(r)
	p.line("")
	for _, n := range r.Notes {
		p.par(n)
	}
	p.par(Caution)
	return p.err
}

func (p *printer) verdict(r grader.Report) {
	if r.Percent == nil {
		p.par("Nothing was reached that could be judged.")
		return
	}
	var earned, reachable float64
	for _, s := range r.Parts {
		earned, reachable = earned+s.Earned, reachable+s.Reachable
	}
	p.par(fmt.Sprintf("%s of %s points in reach on your path: %s %%.", Num(earned, 1), Num(reachable, 1), Num(*r.Percent, 1)))
	var parts []string
	for _, s := range r.Parts {
		if s.Reachable > 0 {
			parts = append(parts, fmt.Sprintf("%s %s of %s", s.Part, Num(s.Earned, 1), Num(s.Reachable, 1)))
		}
	}
	p.par(capital(strings.Join(parts, ", ")) + ".")
	for _, g := range r.Gate {
		p.par("The gate is closed: " + g)
	}
	verdict := "Not passed"
	if r.Passed {
		verdict = "Passed"
	}
	if r.Coached {
		verdict += " (coached: practice)"
	}
	p.par(verdict + ".")
}

func (p *printer) findings(r grader.Report) {
	p.head("Findings")
	n := 0
	for _, f := range r.Findings {
		if f.ChargedTo != "" {
			continue
		}
		n++
		p.line(Wrap(fmt.Sprintf("%s, %s (%s; −%s)", capital(string(f.Part)), f.Where, f.Rule, Num(f.Lost, 1)), 78, "", "")...)
		p.line(Wrap(strings.Join([]string{f.Known, f.Did, f.Should}, " "), 78, "  ", "  ")...)
		p.line(Wrap(f.Why+" ["+strings.Join(f.Sources, ", ")+"]", 78, "  ", "  ")...)
	}
	if n == 0 {
		p.par("None.")
	}
	for _, f := range r.Findings {
		if f.ChargedTo != "" {
			p.line(Wrap(fmt.Sprintf("Follows from the above and costs nothing more (%s, %s): %s", f.Rule, f.Where, f.Did), 78, "", "  ")...)
		}
	}
	if len(r.Good) > 0 {
		p.head("Right, though it could have gone wrong")
		for _, g := range r.Good {
			p.line(Wrap(g, 78, "- ", "  ")...)
		}
	}
}

func (p *printer) course(r grader.Report) {
	p.head("The course of the test")
	for _, m := range r.Timeline {
		text := m.Done
		if m.Seen != "" {
			if text != "" {
				text += ": "
			}
			text += m.Seen
		}
		if m.Could != "" {
			text = "could have: " + m.Could
		}
		first := fmt.Sprintf("%6s  ", Clock(m.AtS))
		p.line(Wrap(fmt.Sprintf("[%s] %s", m.Where, text), 78, first, strings.Repeat(" ", 8))...)
	}
}

func (p *printer) calculation(r grader.Report) {
	p.head("The calculation")
	p.line("Yours:")
	if !p.written(r.Student) {
		p.line("  nothing is written")
	}
	p.line("Worked on your own sheet:")
	p.answer(r.Worked)
	for _, s := range r.Slips {
		p.line(Wrap(fmt.Sprintf("A known slip in %s: you wrote %s; %s (%s). Right: %s.", s.Item, s.Wrote, s.Name, s.How, s.Right), 78, "", "  ")...)
	}
}

// written prints the student's calculation and reports whether there is any.
func (p *printer) written(s grader.StudentEstimate) bool {
	any := false
	show := func(name string, x *float64, unit string) {
		if x != nil {
			p.line(fmt.Sprintf("  %s %s%s", name, strings.Replace(fmt.Sprint(*x), "-", "−", 1), unit))
			any = true
		}
	}
	text := func(name, s string) {
		if s != "" {
			p.line(Wrap(name+" "+s, 78, "  ", "    ")...)
			any = true
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
	return any
}

func (p *printer) answer(a protocol.Answer) {
	for _, s := range a.Steps {
		p.line(Wrap(s, 78, "  ", "    ")...)
	}
	for _, w := range a.Warnings {
		p.line(Wrap("note: "+w, 78, "  ", "    ")...)
	}
}

func (p *printer) margins(r grader.Report) {
	p.head("Margins")
	show := func(name, what string, m grader.Margin) {
		value := "none: " + m.WhyNot
		if m.MlKgMin != nil {
			value = fmt.Sprintf("%s mL/kg/min (%s %%)", Signed(*m.MlKgMin, 2), Signed(*m.Percent, 1))
		}
		p.line(Wrap(fmt.Sprintf("%s, %s: %s", name, what, value), 78, "", "   ")...)
	}
	show("A", "your estimate against the worked answer on your sheet", r.Margins.A)
	show("M", "your readings against perfect readings of the same path", r.Margins.M)
	show("T", "your estimate against the truth (never graded; most of it is nobody's fault)", r.Margins.T)
}

func (p *printer) truth(r grader.Report) {
	if r.Truth == nil {
		return
	}
	t := r.Truth
	p.head("The truth")
	p.par(t.Spoiler)
	p.par("To learn here: " + t.Teaches)
	p.par(fmt.Sprintf("True VO2max %s mL/kg/min (%s L/min); true maximum heart rate %s bpm; resting %s bpm, %s/%s mmHg.",
		Num(t.VO2MaxRel, 1), Num(t.VO2MaxL, 2), Num(t.MaxHRbpm, 0), Num(t.RestingHRbpm, 0), Num(t.RestingSBP, 0), Num(t.RestingDBP, 0)))
	p.par("The right act: " + rightAct(t.RightAct) + ".")
	p.par(fmt.Sprintf("Case %s, seed %d: `kilopond drill %s --seed %d` brings the same person again.", t.CaseID, t.Seed, t.CaseID, t.Seed))
}

func rightAct(a scenarios.RightAct) string {
	return map[scenarios.RightAct]string{
		scenarios.RunToEnd: "run the test to its end", scenarios.DoNotTest: "no test today", scenarios.EndTest: "end the test in good order",
		scenarios.StopAtOnce: "stop at once", scenarios.VerifyThenGo: "measure again, then go on",
	}[a]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
