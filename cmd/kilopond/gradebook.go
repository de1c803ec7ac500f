package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
)

// A gradeColumn is one column of the gradebook with its explanation.
type gradeColumn struct {
	name string
	says string
	cell func(studentRow) string
}

// gradeColumns are the columns behind the key.
func gradeColumns() []gradeColumn {
	return []gradeColumn{
		{"name", "The name, as in the class list; empty without --key.", func(s studentRow) string { return harmless(s.Name) }},
		{"percent", "The mark: points earned as a percentage of all points in reach, over the attempts that count, with what you decided on rules and what came off for lateness. What was not handed in does not lower it: attempts_counted and attempts_expected tell that.", func(s studentRow) string { return cell(s.Decided.Percent, 1) }},
		{"passed", "yes when nothing of the pack is missing, the gate is open in every attempt that counts, and the percentage is at or above the line of the rules; else no.", func(s studentRow) string { return yesNo(s.Decided.Passed) }},
		{"gates_closed", "In how many of these attempts the gate is closed: an unsafe start, a missed stop, a recovery that was not watched. No points open it.", func(s studentRow) string { return strconv.Itoa(s.Decided.GateClosed) }},
		{"attempts_counted", "How many attempts count.", func(s studentRow) string { return strconv.Itoa(s.Counted) }},
		{"attempts_expected", "How many the assignment has; 0 without --key.", func(s studentRow) string { return strconv.Itoa(s.Expected) }},
		{"automatic_percent", "The percentage as it was judged, before your decisions and lateness.", func(s studentRow) string { return cell(s.Percent, 1) }},
		{"mark", "The mean of your own marks, 1 (poor) to 5 (excellent); empty when you gave none.", func(s studentRow) string { return cell(s.Mark, 1) }},
		{"margin_a_mean_abs_ml_kg_min", "Mean distance of the student's estimates from the worked answers on the same sheets, mL/kg/min: the calculation. Graded within percent already.", func(s studentRow) string { return cell(s.MeanAbsA, 2) }},
		{"margin_m_mean_abs_ml_kg_min", "Mean distance of the worked answers on the sheets from those on perfect readings of the same paths, mL/kg/min: the measuring. Not graded by itself.", func(s studentRow) string { return cell(s.MeanAbsM, 2) }},
		{"margin_m_bias_ml_kg_min", "The same with its sign, a number: above 0 the readings make people look fitter than they are.", func(s studentRow) string { return cell(s.BiasM, 2) }},
		{"problems", "How many things about the student's files somebody should look at; kilopond grade names them. It is no judgement.", func(s studentRow) string { return strconv.Itoa(s.Problems) }},
	}
}

func newGradebook() *cobra.Command {
	c := &cobra.Command{
		Use:   "gradebook [FILE|FOLDER…]",
		Short: "The marks of a class for your own gradebook, keyed by its column",
		Long: "The marks of a class, a row for each student, keyed by the column of your own gradebook (the key of the class list, with --key assignment.json;\n" +
			"without it what grade calls the student). --out FILE.csv writes it, and beside it FILE.txt with what each column is. A name that a spreadsheet\n" +
			"would take for a formula gets an apostrophe before it; numbers stay numbers. The board does not enter it.\n\n" + render.Caution,
		Args: filesOrDB("kilopond class gradebook FOLDER --key assignment.json --out marks.csv"),
	}
	c.Flags().String("out", "", "write this CSV file, and the explanation of its columns beside it")
	c.Flags().String("column", "key", "heading of the first column: as your gradebook calls it")
	c.Flags().Bool("force", false, "write over files that exist")
	addClass(c)
	addFormat(c)
	c.RunE = gradebook
	return c
}

func gradebook(c *cobra.Command, given []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	column, err := c.Flags().GetString("column")
	must(err)
	column = strings.TrimSpace(column)
	if column == "" || strings.ContainsAny(column, "\r\n") {
		return usage(`for example --column "Student ID"`, "--column %q: one line of text", column)
	}
	out, err := c.Flags().GetString("out")
	must(err)
	force, err := c.Flags().GetBool("force")
	must(err)
	page := explanationOf(out)
	var own []string
	if out != "" {
		own = []string{out, page}
		for _, path := range own {
			if err := canWrite(path, force); err != nil {
				return err
			}
		}
	}
	class, err := readClass(c, given, time.Time{}, nil, own...)
	if err != nil {
		return err
	}
	r := class.result()
	t := gradebookTable(column, r)
	if out == "" {
		err = render.Write(c.OutOrStdout(), f, t, r.Students)
	} else {
		err = writeReport(out, force, func(w io.Writer) error { return render.Write(w, render.CSV, t, nil) })
		if err == nil {
			err = writeReport(page, force, func(w io.Writer) error { return explain(w, column) })
		}
		if err == nil {
			_, err = fmt.Fprintf(c.OutOrStdout(), "%d students in %s; what each column is, in %s.\n", len(r.Students), out, page)
		}
	}
	if err != nil {
		return err
	}
	return class.said(c)
}

// explanationOf is the text beside a gradebook.
func explanationOf(out string) string { return strings.TrimSuffix(out, ".csv") + ".txt" }

func gradebookTable(column string, r classResult) render.Table {
	t := render.Table{Header: []string{harmless(column)}, Right: []bool{false}, Wrap: -1}
	columns := gradeColumns()
	for _, x := range slices.Backward(columns) { // the first are the mark
		t.Spare = append(t.Spare, x.name)
	}
	for _, x := range columns {
		t.Header = append(t.Header, x.name)
		t.Right = append(t.Right, x.name != "name" && x.name != "passed")
	}
	for _, s := range r.Students {
		row := []string{harmless(s.Student)}
		for _, x := range columns {
			row = append(row, x.cell(s))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// explain writes what each column is.
func explain(w io.Writer, column string) error {
	lines := []string{"What each column is", "-------------------", ""}
	say := func(name, text string) { lines = append(lines, render.Wrap(name+": "+text, 78, "", "  ")...) }
	say(column, "Who: the key of your own gradebook, as the class list gave it. One that begins with =, +, - or @ has an apostrophe before it, so that no spreadsheet takes it for a formula.")
	for _, x := range gradeColumns() {
		say(x.name, x.says)
	}
	lines = append(lines, "")
	lines = append(lines, render.Wrap("An empty cell: there is no such number, as when nothing was handed in or nothing can be estimated. Of several tries at one subject the last counts. "+
		"A file that could not be graded is not in here: kilopond grade names each.", 78, "", "")...)
	lines = append(lines, render.Wrap(render.Caution, 78, "", "")...)
	_, err := fmt.Fprintln(w, strings.Join(lines, "\n"))
	return err
}
