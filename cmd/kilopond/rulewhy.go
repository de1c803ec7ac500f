package main

import (
	"fmt"
	"io"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/physiology/unit"
)

// A ruleWhy is one rule of conduct or calculation with why it exists.
type ruleWhy struct {
	Station string   `json:"station"` // part of the test, in the order of the lab
	Rule    string   `json:"rule"`
	Points  float64  `json:"points"` // of 100, when everything can be reached
	Gate    bool     `json:"gate"`   // breaking it can close the gate
	Asks    string   `json:"asks"`
	Why     string   `json:"why"`
	Sources []string `json:"sources"`
}

// whys are all rules in the order of the lab.
func whys(b grader.Rulebook) []ruleWhy {
	var all []ruleWhy
	for _, s := range grader.Checklist(b) {
		for _, r := range s.Rules {
			all = append(all, ruleWhy{s.Title, r.Name, unit.Round(r.Points, 1), r.Closes, r.Asks, r.WhyIn(b), r.Sources})
		}
	}
	return all
}

// writeWhys prints a paragraph for each rule; as csv or json one row each.
func writeWhys(w io.Writer, f render.Format, b grader.Rulebook) error {
	all := whys(b)
	if f != render.Text {
		t := render.Table{Header: []string{"station", "rule", "points", "gate", "asks", "why", "sources"}, Wrap: -1}
		for _, r := range all {
			t.Rows = append(t.Rows, []string{r.Station, r.Rule, decimals(r.Points, 1), fmt.Sprint(r.Gate), r.Asks, r.Why, strings.Join(r.Sources, " ")})
		}
		return render.Write(w, f, t, all)
	}
	var out strings.Builder
	station := ""
	for _, r := range all {
		if r.Station != station {
			station = r.Station
			fmt.Fprintf(&out, "%s\n%s\n", station, strings.Repeat("-", len([]rune(station))))
		}
		points := decimals(r.Points, 1) + " points"
		if r.Gate {
			points += ", can close the gate"
		}
		fmt.Fprintf(&out, "%s (%s)\n", r.Rule, points)
		for _, text := range []string{r.Asks, r.Why + " [" + strings.Join(r.Sources, ", ") + "]"} {
			for _, line := range render.Wrap(text, 78, "  ", "  ") {
				out.WriteString(line + "\n")
			}
		}
		out.WriteByte('\n')
	}
	passes := fmt.Sprintf("Points are of 100, when everything can be reached. To pass: the gate open, and %g %% of what was in reach.", b.PassPercent)
	out.WriteString(strings.Join(render.Wrap(passes, 78, "", ""), "\n") + "\n")
	_, err := io.WriteString(w, out.String())
	return err
}
