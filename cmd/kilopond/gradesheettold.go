package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// table is a row for each sheet.
func (r sheetResult) table() render.Table {
	t := render.Table{
		Header: []string{"sheet", "name", "key", "vo2max_ml_kg_min", "worked_ml_kg_min", "margin_a_ml_kg_min", "margin_a_percent", "points_earned", "points_reachable", "percent", "slips"},
		Right:  []bool{false, false, false, true, true, true, true, true, true, true, false}, Wrap: -1,
	}
	if r.Real {
		t.Header = []string{"sheet", "name", "key", "vo2max_ml_kg_min", "worked_ml_kg_min", "margin_a_ml_kg_min", "margin_a_percent", "slips", "breaches"}
		t.Right = t.Right[:7]
	}
	number := func(x *float64, decimals int) string {
		if x == nil {
			return ""
		}
		return fmt.Sprintf("%.*f", decimals, *x)
	}
	for _, s := range r.Sheets {
		var slips, breaches []string
		for _, x := range s.Slips {
			slips = append(slips, x.Item+": "+x.Name)
		}
		for _, x := range s.Breaches {
			breaches = append(breaches, x.Rule+" ("+x.Where+")")
		}
		row := []string{harmless(s.Sheet), harmless(s.Name), harmless(s.Key), number(s.Student.VO2Rel, 1), number(workedVO2(s.Worked), 1), number(s.MarginA.MlKgMin, 2), number(s.MarginA.Percent, 1)}
		if r.Real {
			row = append(row, strings.Join(slips, "; "), strings.Join(breaches, "; "))
		} else {
			row = append(row, number(s.Earned, 2), number(s.Reach, 2), number(s.Percent, 1), strings.Join(slips, "; "))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// workedVO2 is the worked estimate, nil when there is none.
func workedVO2(a protocol.Answer) *float64 {
	if !a.Estimable {
		return nil
	}
	x := unit.Round(float64(a.VO2Rel), 2)
	return &x
}

// tell prints the sheets for reading: a line each, or each in steps.
func (r sheetResult) tell(c *cobra.Command, steps bool) error {
	var lines []string
	for _, s := range r.Sheets {
		lines = append(lines, s.headline(r.Real))
		if steps {
			lines = append(lines, s.steps()...)
			lines = append(lines, "")
		}
	}
	if !steps {
		lines = append(lines, "")
	}
	if r.Real {
		lines = append(lines, realCaution)
	}
	lines = append(lines, render.Caution)
	for _, l := range lines {
		for _, row := range append(render.Wrap(l, 78, indentOf(l), hangOf(l)), blankLine(l)...) {
			if _, err := fmt.Fprintln(c.OutOrStdout(), row); err != nil {
				return err
			}
		}
	}
	return nil
}

func indentOf(l string) string { return l[:len(l)-len(strings.TrimLeft(l, " "))] }

// hangOf is the indent of the further lines: of what is indented, two more.
func hangOf(l string) string {
	if in := indentOf(l); in != "" {
		return in + "  "
	}
	return ""
}

func blankLine(l string) []string {
	if strings.TrimSpace(l) == "" {
		return []string{""}
	}
	return nil
}

// headline is what a sheet came to, in a line.
func (s sheetMark) headline(real bool) string {
	var parts []string
	if s.Sheet != "" {
		who := "sheet " + s.Sheet
		if s.Name != "" {
			who += ", " + s.Name
		}
		parts = append(parts, who)
	}
	if s.MarginA.MlKgMin != nil {
		parts = append(parts, fmt.Sprintf("margin A %s mL/kg/min (%s %%)", render.Signed(*s.MarginA.MlKgMin, 2), render.Signed(*s.MarginA.Percent, 1)))
	} else {
		parts = append(parts, "no margin A: "+s.MarginA.WhyNot)
	}
	if real {
		parts = append(parts, howManyOf(len(s.Breaches), "breach", "breaches")+" on the sheet")
	} else if s.Percent != nil {
		parts = append(parts, fmt.Sprintf("calculation %.1f of %.1f points (%.0f %%)", *s.Earned, *s.Reach, *s.Percent))
	}
	parts = append(parts, howManyOf(len(s.Slips), "known slip", "known slips"))
	return strings.Join(parts, "; ")
}

func howManyOf(n int, one, many string) string {
	switch n {
	case 0:
		return "no " + one
	case 1:
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// steps are the findings, slips, breaches, and the worked answer in steps.
func (s sheetMark) steps() []string {
	var lines []string
	for _, f := range s.Findings {
		cost := fmt.Sprintf("−%.2f", f.Lost)
		if f.ChargedTo != "" {
			cost = "charged with " + f.ChargedTo
		}
		lines = append(lines, fmt.Sprintf("  %s (%s): %s", f.Rule, cost, render.BoxWords(sentences(f))))
	}
	if len(s.Findings) == 0 {
		for _, x := range s.Slips {
			lines = append(lines, fmt.Sprintf("  slip in %s: wrote %s; %s (%s). Right: %s.", boxOf(x.Item), x.Wrote, x.Name, x.How, x.Right))
		}
	}
	for _, f := range s.Breaches {
		lines = append(lines, fmt.Sprintf("  breach, %s, %s: %s [%s]", f.Where, f.Rule, sentences(f), strings.Join(f.Sources, ", ")))
	}
	lines = append(lines, "worked on this sheet:")
	for _, x := range s.Worked.Steps {
		lines = append(lines, "  "+x)
	}
	for _, x := range s.Worked.Warnings {
		lines = append(lines, "  note: "+x)
	}
	return lines
}

func boxOf(key string) string {
	name, suffix := render.Box(exercises.Key(key))
	return name + suffix
}

// sentences are a finding's words as they follow one another.
func sentences(f grader.HandFinding) string {
	var all []string
	for _, s := range []string{f.Known, f.Did, f.Should} {
		if s != "" {
			all = append(all, s)
		}
	}
	return strings.Join(all, " ")
}
