package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
)

func newClass() *cobra.Command {
	c := &cobra.Command{
		Use:   "class",
		Short: "A whole class: what it gets wrong, and its marks for the gradebook",
		Args:  args(cobra.NoArgs, "kilopond class statistics FOLDER, gradebook FOLDER, roster, import, export, erase or backup"),
	}
	c.RunE = func(c *cobra.Command, _ []string) error {
		return usage("kilopond class statistics FOLDER, or kilopond class gradebook FOLDER", "class: say what is wanted of it")
	}
	c.AddCommand(newClassStatistics(), newGradebook(), newClassRoster(), newClassImport(), newClassExport(), newClassErase(), newClassBackup())
	return c
}

// addClass adds what every command on a class takes.
func addClass(c *cobra.Command) {
	addKey(c)
	addCases(c)
	addRules(c)
	addFromDB(c)
	c.Flags().String("log", "", "the log of marks, instead of grades.jsonl in the folder")
}

// printed is a result in sections, each a table under a heading.
type printed struct {
	w   io.Writer
	f   render.Format
	err error
}

func (p *printed) line(format string, a ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", a...)
	}
}

func (p *printed) par(text string) { p.line("%s", strings.Join(render.Wrap(text, 78, "", ""), "\n")) }

func (p *printed) head(text string) {
	if p.f == render.Markdown {
		p.line("\n## %s\n", text)
		return
	}
	p.line("\n%s\n%s", text, strings.Repeat("-", len([]rune(text))))
}

func (p *printed) table(t render.Table) {
	if p.err == nil {
		p.err = render.Write(p.w, p.f, t, nil)
	}
}

// statisticsResult is the machine-readable result of class statistics.
type statisticsResult struct {
	grader.ClassStatistics
	Problems []problem `json:"problems"`
}

func newClassStatistics() *cobra.Command {
	c := &cobra.Command{
		Use:   "statistics [FILE|FOLDER…]",
		Short: "What the class gets right and wrong",
		Long: "What a class gets right and wrong, from its attempts that count: each decision's difficulty and how well it tells students apart, by rule and\n" +
			"by competency; how far marks can be relied on; stopping; agreement of readings and estimates with what was so; who is near the line; who\n" +
			"should do which short skill next. A number that rests on fewer than ten students, or that is not defined for this class, is left out.\n\n" +
			"With --format csv a row for each rule. For the instructor: cells of fewer than five students are not for the class.\n\n" + render.Caution,
		Args: filesOrDB("kilopond class statistics FOLDER"),
	}
	c.Flags().String("pictures", "", "also draw it: SVG files into this folder, each with its words inside")
	c.Flags().Bool("force", false, "write over files that exist")
	addClass(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		folder, err := c.Flags().GetString("pictures")
		must(err)
		if err := pictureFolder(folder); err != nil {
			return err
		}
		class, err := readClass(c, given, time.Time{}, nil)
		if err != nil {
			return err
		}
		entries := class.judged()
		s := grader.StatisticsOf(entries)
		switch f {
		case render.JSON:
			err = render.WriteJSON(c.OutOrStdout(), statisticsResult{s, class.problems})
		case render.CSV:
			err = render.Write(c.OutOrStdout(), f, itemTable(s, f), nil)
		default:
			err = printStatistics(c.OutOrStdout(), f, s)
		}
		if err == nil && folder != "" {
			err = drawClass(c, folder, s, entries)
		}
		if err != nil {
			return err
		}
		return class.said(c)
	}
	return c
}

// judged are the attempts that count with what the instructor decided on their rules; lateness says nothing of what was done.
func (r *classRead) judged() []grader.Entry {
	var all []grader.Entry
	for _, f := range r.files {
		if !f.counts() {
			continue
		}
		m := f.mark
		if h := r.histories[f.head]; len(h.Decided) > 0 {
			m = m.With(h.Decided)
		}
		all = append(all, grader.Entry{Student: f.student, Mark: m})
	}
	return all
}

func printStatistics(w io.Writer, f render.Format, s grader.ClassStatistics) error {
	p := &printed{w: w, f: f}
	p.line("%d students, %d attempts that count; %d students passed.", s.Students, s.Attempts, s.Passed)
	if s.Attempts == 0 {
		return p.err
	}
	p.head("Decisions")
	p.table(itemTable(s, f))
	p.line("")
	p.par("Difficulty is mean credit: 1 is easy. Discrimination is the correlation with all other points: 0.40 and more good, 0.30 fair, 0.20 marginal. " +
		"Empty: fewer than ten students, or everybody alike.")
	p.head("Competencies")
	t := render.Table{Header: []string{"competency", "rules", "students", "credit"}, Right: []bool{false, true, true, true}, Wrap: -1}
	for _, x := range s.Tags {
		t.Rows = append(t.Rows, []string{x.Tag, fmt.Sprint(x.Rules), fmt.Sprint(x.Students), num(x.Credit, 2)})
	}
	p.table(t)
	if len(s.Slips) > 0 {
		p.head("Slips of calculation")
		t := render.Table{Header: []string{"where", "slip", "students", "attempts"}, Right: []bool{false, false, true, true}, Wrap: 1, Width: 46}
		for _, x := range s.Slips {
			t.Rows = append(t.Rows, []string{x.Item, x.Slip, fmt.Sprint(x.Students), fmt.Sprint(x.Attempts)})
		}
		p.table(t)
	}
	p.stops(s)
	p.readings(s)
	p.reliance(s)
	p.people(s)
	p.line("")
	p.par("For the instructor: cells of fewer than five students are not for the class. " + render.Caution)
	return p.err
}

// itemTable is a row a rule: everything in CSV, what fits a page where people read.
func itemTable(s grader.ClassStatistics, f render.Format) render.Table {
	if f == render.CSV {
		t := render.Table{Wrap: -1, Header: []string{"rule", "part", "tags", "skill", "students_reached", "attempts_reached", "difficulty", "discrimination", "upper_lower", "reads", "gates_closed"}}
		for _, i := range s.Items {
			t.Rows = append(t.Rows, []string{i.Rule, string(i.Part), strings.Join(i.Tags, " "), i.Skill, fmt.Sprint(i.Students), fmt.Sprint(i.Attempts),
				cell(i.Difficulty, 3), cell(i.Discrimination, 3), cell(i.UpperLower, 3), i.Reads, fmt.Sprint(i.GatesClosed)})
		}
		return t
	}
	t := render.Table{Header: []string{"rule", "part", "students", "difficulty", "discrimination", "", "gates"}, Right: []bool{false, false, true, true, true, false, true}, Wrap: -1, Spare: []string{"part"}}
	for _, i := range s.Items {
		t.Rows = append(t.Rows, []string{i.Rule, string(i.Part), fmt.Sprint(i.Students), some(i.Difficulty, 2), some(i.Discrimination, 2), i.Reads, fmt.Sprint(i.GatesClosed)})
	}
	return t
}

// some is a number for people, empty when there is none.
func some(x *float64, decimals int) string {
	if x == nil {
		return ""
	}
	return render.Num(*x, decimals)
}

func (p *printed) stops(s grader.ClassStatistics) {
	p.head("To stop or to go on")
	t := render.Table{Header: []string{"", "met", "for nothing", "sensitivity", "specificity", "d′", "c"}, Right: []bool{false, true, true, false, false, true, true}, Wrap: -1}
	rate := func(x *float64, ci *[2]float64) string {
		if x == nil {
			return ""
		}
		return fmt.Sprintf("%.2f (%.2f–%.2f)", *x, ci[0], ci[1])
	}
	for _, x := range s.Stops {
		d := some(x.DPrime, 2)
		if d != "" {
			d += " ± " + some(x.DPrimeSE, 2)
		}
		t.Rows = append(t.Rows, []string{x.What, fmt.Sprintf("%d of %d", x.Hits, x.Signals), fmt.Sprintf("%d of %d", x.FalseStops, x.Rest),
			rate(x.Sensitivity, x.SensCI), rate(x.Specificity, x.SpecCI), d, some(x.Criterion, 2)})
	}
	p.table(t)
	p.line("")
	p.par("Whole tests. Intervals are 95 % (Wilson). c above 0: slow to stop; below 0: quick to stop. d′ is left out below eight of a kind.")
}

func (p *printed) readings(s grader.ClassStatistics) {
	p.head("Readings and estimates against what was so")
	t := render.Table{Header: []string{"", "n", "bias (95 %)", "lower limit (95 %)", "upper limit (95 %)", "mean |d|"}, Right: []bool{false, true, false, false, false, true}, Wrap: -1}
	for _, a := range s.Agreement {
		between := func(x float64, ci *[2]float64, decimals int) string {
			return fmt.Sprintf("%s (%s to %s)", render.Signed(x, decimals), render.Signed(ci[0], decimals), render.Signed(ci[1], decimals))
		}
		row := []string{a.What + ", " + a.Unit, fmt.Sprint(a.N), render.Signed(a.Bias, 2), "", "", some(a.MeanAbs, 2)}
		if a.BiasCI != nil {
			row[2], row[3], row[4] = between(a.Bias, a.BiasCI, 2), between(*a.LoALow, a.LoALowCI, 1), between(*a.LoAHigh, a.LoAHighCI, 1)
		}
		t.Rows = append(t.Rows, row)
	}
	p.table(t)
	p.line("")
	p.par("Written minus true; 19 of 20 differences lie between the limits of agreement. Several readings of one student are taken as if each were another's: " +
		"the intervals are somewhat too narrow.")
	t = render.Table{Header: []string{"margin, mL/kg/min", "n", "median", "9 of 10 within", "signed mean"}, Right: []bool{false, true, true, true, true}, Wrap: -1}
	for _, d := range s.Margins {
		t.Rows = append(t.Rows, []string{strings.ToUpper(d.Margin), fmt.Sprint(d.N), some(d.Median, 2), some(d.P90, 2), signed(d.Bias, 2)})
	}
	p.line("")
	p.table(t)
}

func (p *printed) reliance(s grader.ClassStatistics) {
	p.head("How far the marks can be relied on")
	r := s.Reliability
	switch {
	case r.Design == "none":
		p.par("Too few students with two attempts and more to say.")
	case r.Absolute == nil:
		p.par(fmt.Sprintf("%d students, all alike: there is nothing to tell them apart by.", r.Students))
	case r.Design == "crossed":
		p.par(fmt.Sprintf("%d students on the same %s cases: %s for ranking, %s against the pass mark; standard error of a percentage %s.",
			r.Students, some(r.Subjects, 0), some(r.Relative, 2), some(r.Absolute, 2), some(r.SEM, 1)))
	default:
		p.par(fmt.Sprintf("%d students with %s subjects each of their own: %s against the pass mark; standard error of a percentage %s.",
			r.Students, some(r.Subjects, 1), some(r.Absolute, 2), some(r.SEM, 1)))
	}
	if c := s.Consistency; c.Same != nil {
		text := fmt.Sprintf("Odd and even attempts apart come to the same verdict for %s of %d students", render.Num(100**c.Same, 0)+" %", c.Students)
		if c.Kappa != nil {
			text += ", kappa " + some(c.Kappa, 2)
		}
		p.par(text + ".")
	}
}

func (p *printed) people(s grader.ClassStatistics) {
	if len(s.NearLine) > 0 {
		p.head("Near the line")
		t := render.Table{Header: []string{"student", "%", "from", "to", "line", "gates closed"}, Right: []bool{false, true, true, true, true, true}, Wrap: -1}
		for _, n := range s.NearLine {
			t.Rows = append(t.Rows, []string{n.Student, render.Num(n.Percent, 1), render.Num(n.Low, 1), render.Num(n.High, 1), render.Num(n.Line, 0), fmt.Sprint(n.GateClosed)})
		}
		p.table(t)
	}
	if len(s.Needs) > 0 {
		p.head("What to practise next")
		t := render.Table{Header: []string{"student", "skill", "%", "gates closed", "costliest rules"}, Right: []bool{false, false, true, true, false}, Wrap: -1}
		for _, n := range s.Needs {
			rules := strings.Join(n.Rules[:min(3, len(n.Rules))], ", ")
			t.Rows = append(t.Rows, []string{n.Student, n.Skill, render.Num(n.Percent, 0), fmt.Sprint(n.Gates), rules})
		}
		p.table(t)
	}
}
