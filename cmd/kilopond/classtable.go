package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
)

// printClass prints the attempts, then the students, who are what is looked for first at a terminal.
func printClass(c *cobra.Command, f render.Format, r classResult, given []string) error {
	w := c.OutOrStdout()
	if len(r.Attempts) == 0 {
		_, err := fmt.Fprintln(w, "No attempt could be graded.")
		return err
	}
	if err := render.Write(w, f, attemptTable(r, given), nil); err != nil {
		return err
	}
	if _, err := fmt.Fprintln(w); err != nil {
		return err
	}
	if err := render.Write(w, f, studentTable(r), nil); err != nil {
		return err
	}
	if len(r.Changes) > 0 {
		if _, err := fmt.Fprint(w, "\nMarks that differ from those noted before; the earlier ones are kept:\n\n"); err != nil {
			return err
		}
		if err := render.Write(w, f, changeTable(r), nil); err != nil {
			return err
		}
	}
	legend := "M: worked answer on the sheet minus the worked answer on perfect readings of the same path, mL/kg/min. A: the student's estimate " +
		"minus the worked answer on the same sheet. A dash: nothing to show, or no estimate. % is of all points in reach; in brackets, before what you decided and what came off for lateness."
	lines := append(append([]string{""}, render.Wrap(legend, 78, "", "")...), render.Wrap(render.Caution, 78, "", "")...)
	_, err := fmt.Fprintln(w, strings.Join(lines, "\n"))
	return err
}

func studentTable(r classResult) render.Table {
	t := render.Table{Header: []string{"student", "files", "counted", "%", "gate", "passed", "mark", "|A|", "|M|", "M", "problems"},
		Right: []bool{false, true, true, true, false, false, true, true, true, true, true}, Wrap: -1, Spare: []string{"M", "files", "problems"}}
	for _, s := range r.Students {
		gate := "open"
		if s.Decided.GateClosed > 0 {
			gate = fmt.Sprintf("closed in %d", s.Decided.GateClosed)
		}
		if s.Counted == 0 {
			gate = "—"
		}
		counted := fmt.Sprint(s.Counted)
		if s.Expected > 0 {
			counted += fmt.Sprintf(" of %d", s.Expected)
		}
		t.Rows = append(t.Rows, []string{s.Student, fmt.Sprint(s.Files), counted, num(s.Decided.Percent, 1), gate, yesNo(s.Decided.Passed), num(s.Mark, 1),
			num(s.MeanAbsA, 2), num(s.MeanAbsM, 2), signed(s.BiasM, 2), fmt.Sprint(s.Problems)})
	}
	return t
}

// attemptTable names the files as they lie in the folder, when there is one.
func attemptTable(r classResult, given []string) render.Table {
	t := render.Table{Header: []string{"student", "file", "case", "%", "gate", "passed", "A", "M", "counted"},
		Right: []bool{false, false, false, true, false, false, true, true, false}, Wrap: -1, Keys: 2, Spare: []string{"passed", "case", "A"}}
	for _, a := range r.Attempts {
		file := a.File
		if len(given) == 1 {
			if rel, err := filepath.Rel(given[0], a.File); err == nil && rel != "." {
				file = rel
			}
		}
		gate := "open"
		if a.Decided.GateClosed > 0 {
			gate = "closed"
		}
		counted := "yes"
		if !a.Counted {
			counted = "no: " + a.Why
		}
		percent := num(a.Decided.Percent, 1)
		if before := num(a.Percent, 1); before != percent {
			percent += " (" + before + ")"
		}
		t.Rows = append(t.Rows, []string{a.Student, file, a.Case, percent, gate, yesNo(a.Decided.Passed), signed(a.AAbs, 2), signed(a.MAbs, 2), counted})
	}
	return t
}

func changeTable(r classResult) render.Table {
	t := render.Table{Header: []string{"student", "file", "% then", "% now", "rules then, now"}, Right: []bool{false, false, true, true}, Wrap: -1, Keys: 2}
	mark := func(g grader.Given) string {
		if g.Passed {
			return num(g.Percent, 1) + " passed"
		}
		return num(g.Percent, 1) + " failed"
	}
	for _, x := range r.Changes {
		t.Rows = append(t.Rows, []string{x.Student, filepath.Base(x.File), mark(x.Before), mark(x.Now), rulesName(x.Before) + ", " + rulesName(x.Now)})
	}
	return t
}

// rulesName is a rulebook by its name and the beginning of its hash: two versions may have one name.
func rulesName(g grader.Given) string {
	return g.Rulebook + " " + g.RulebookHash[:min(6, len(g.RulebookHash))]
}

func num(x *float64, decimals int) string {
	if x == nil {
		return "—"
	}
	return render.Num(*x, decimals)
}

func signed(x *float64, decimals int) string {
	if x == nil {
		return "—"
	}
	return render.Signed(*x, decimals)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
