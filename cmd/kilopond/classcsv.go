package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
)

// harmless keeps a spreadsheet from taking a text for a formula: an apostrophe stands before what could begin one.
func harmless(text string) string {
	if text != "" && strings.ContainsAny(text[:1], "=+-@\t\r\n") {
		return "'" + text
	}
	return text
}

// cell prints a number plainly, as a spreadsheet reads it; empty when there is none.
func cell(x *float64, n int) string {
	if x == nil {
		return ""
	}
	return decimals(*x, n)
}

func whole(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// wideTable has a row for each attempt; with the rules, a column for the credit of each.
func wideTable(r classResult, withRules bool) render.Table {
	t := render.Table{Wrap: -1, Header: []string{
		"student", "file", "head", "case", "seed", "model", "mode", "coached", "replayed", "handed_in", "counted", "why_not_counted", "subject", "try", "receipt", "late_days", "percent", "passed", "gates_closed",
		"safety_earned", "safety_reachable", "validity_earned", "validity_reachable", "procedure_earned", "procedure_reachable",
		"arithmetic_earned", "arithmetic_reachable", "findings", "margin_a_ml_kg_min", "margin_a_percent", "margin_m_ml_kg_min", "margin_m_percent",
		"margin_t_ml_kg_min", "margin_t_percent", "decided_percent", "decided_passed", "mark", "comment",
	}}
	var names []string
	if withRules {
		for _, rule := range grader.Rules() {
			names = append(names, rule.Name)
			t.Header = append(t.Header, "credit_"+strings.ReplaceAll(rule.Name, "-", "_"))
		}
	}
	for _, a := range r.Attempts {
		row := []string{harmless(a.Student), harmless(a.File), a.Head, a.Case, fmt.Sprint(uint64(a.Seed)), strconv.Itoa(a.Model), a.Mode, yesNo(a.Coached),
			yesNo(a.Replayed), yesNo(a.HandedIn), yesNo(a.Counted), a.Why, whole(a.Subject), whole(a.Try), a.Receipt, strconv.Itoa(a.LateDays), cell(a.Percent, 1), yesNo(a.Passed), strconv.Itoa(len(a.GateClosed))}
		for _, p := range a.Parts {
			row = append(row, decimals(p.Earned, 2), decimals(p.Reachable, 2))
		}
		row = append(row, strconv.Itoa(a.Findings), cell(a.AAbs, 2), cell(a.APct, 1), cell(a.MAbs, 2), cell(a.MPct, 1), cell(a.TAbs, 2), cell(a.TPct, 1),
			cell(a.Decided.Percent, 1), yesNo(a.Decided.Passed), whole(a.Mark), harmless(a.Comment))
		credit := map[string]string{}
		for _, i := range a.Items {
			if i.Places > 0 {
				credit[i.Rule] = decimals(i.Credit, 3)
			}
		}
		for _, name := range names {
			row = append(row, credit[name])
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// longTable has a row for each rule that was reached in each attempt.
func longTable(r classResult) render.Table {
	t := render.Table{Wrap: -1, Header: []string{"student", "file", "head", "case", "seed", "counted", "rule", "part", "places", "credit", "points_reachable", "points_earned", "closes_gate"}}
	for _, a := range r.Attempts {
		for _, i := range a.Items {
			t.Rows = append(t.Rows, []string{harmless(a.Student), harmless(a.File), a.Head, a.Case, fmt.Sprint(uint64(a.Seed)), yesNo(a.Counted), i.Rule, string(i.Part),
				strconv.Itoa(i.Places), decimals(i.Credit, 3), decimals(i.Points, 3), decimals(i.Points*i.Credit, 3), yesNo(len(i.Closes) > 0)})
		}
	}
	return t
}

// outputs are the files that were asked for beside what is printed.
type outputs struct {
	tables []output
	force  bool
}

type output struct {
	path  string
	table func(classResult) render.Table
}

// outputsOf reads the flags. What cannot be written because it exists, or has no folder, is known before the work.
func outputsOf(c *cobra.Command) (outputs, error) {
	var all outputs
	var err error
	all.force, err = c.Flags().GetBool("force")
	must(err)
	for _, o := range []struct {
		flag  string
		table func(classResult) render.Table
	}{
		{"long", longTable},
		{"wide", func(r classResult) render.Table { return wideTable(r, true) }},
	} {
		path, err := c.Flags().GetString(o.flag)
		must(err)
		if path == "" {
			continue
		}
		if err := canWrite(path, all.force); err != nil {
			return all, err
		}
		all.tables = append(all.tables, output{path, o.table})
	}
	return all, nil
}

// canWrite says whether a file may be written: its folder is there, and it is not, or may be written over.
func canWrite(path string, force bool) error {
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return &hinted{fmt.Errorf("%s: there is no folder %s", path, filepath.Dir(path)), "give a file in a folder that can be written to"}
	}
	if _, err := os.Stat(path); err == nil && !force {
		return &hinted{fmt.Errorf("%s: exists already; nothing is overwritten", path), "give another name, or --force to write over it"}
	}
	return nil
}

func (all outputs) paths() []string {
	var paths []string
	for _, o := range all.tables {
		paths = append(paths, o.path)
	}
	return paths
}

func (all outputs) write(r classResult) error {
	for _, o := range all.tables {
		err := writeReport(o.path, all.force, func(w io.Writer) error { return render.Write(w, render.CSV, o.table(r), nil) })
		if err != nil {
			return err
		}
	}
	return nil
}
