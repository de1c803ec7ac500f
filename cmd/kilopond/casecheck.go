package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/scenarios"
)

// A caseCheck is the result of case check.
type caseCheck struct {
	Name   string            `json:"name"`
	Holds  bool              `json:"holds"` // the file can be read, and what comes out is what it says
	Faults []string          `json:"faults"`
	Study  *grader.CaseStudy `json:"study"` // null when the file cannot be read
}

// mostPeople bounds how many are played in one check.
const mostPeople = 10000

func newCaseCheck() *cobra.Command {
	var people int
	c := &cobra.Command{
		Use:   "check NAME|FILE",
		Short: "Whether a case file holds, and what comes out when it is played",
		Long: "Whether a case file holds: every fault with its line, exit 1. One that does is played by the reference proctor with many people: what\n" +
			"was done with them, bands, stages, ends, how many of each age can be estimated, which signs showed and how first. What comes\n" +
			"out against what the case says is a doubt, exit 1. It spoils the case.",
		Args:              args(cobra.ExactArgs(1), "kilopond case check my-case.yaml"),
		ValidArgsFunction: completeCases,
	}
	wholeVar(c.Flags(), &people, "people", 200, "how many people to play, seeds from that of --seed or 0")
	addSeed(c)
	addCases(c)
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, b, err := formatAndRules(c)
		if err != nil {
			return err
		}
		if people < 1 || people > mostPeople {
			return usage("for example --people 200", "--people %d: 1 to %d", people, mostPeople)
		}
		first, _, err := seed(c)
		if err != nil {
			return err
		}
		if first > scenarios.MaxSeed-scenarios.Seed(people-1) {
			return usage("a smaller one", "--seed %d: with %d people the last seed is beyond %d", first, people, scenarios.MaxSeed)
		}
		from, err := shelf(c)
		if err != nil {
			return err
		}
		one, fault := from.loadOrFile(given[0])
		if fault != nil && !errors.As(fault, new(scenarios.Faults)) {
			return fault
		}
		r := caseCheck{Name: given[0], Faults: []string{}}
		if fault != nil {
			r.Faults = append(r.Faults, fault.Error())
		} else {
			study, err := grader.StudyCase(b, one, first, people)
			if err != nil {
				return err
			}
			r.Study, r.Holds = &study, len(study.Doubts) == 0
		}
		if f == render.Text {
			err = r.tell(c)
		} else {
			t := r.table()
			if r.Study != nil {
				for _, d := range r.Study.Doubts {
					t.Rows = append(t.Rows, []string{"doubt", d, ""})
				}
			}
			err = render.Write(c.OutOrStdout(), f, t, r)
		}
		if err == nil && !r.Holds {
			return errReported
		}
		return err
	}
	return c
}

// caseOrFile reads a case of the library, or else a file. Its error is scenarios.Faults when the file was read and does not hold.
func caseOrFile(name string) (scenarios.Case, error) {
	one, err := scenarios.Load(name)
	if !errors.Is(err, scenarios.ErrNoCase) {
		return one, err
	}
	if _, gone := os.Stat(name); errors.Is(gone, fs.ErrNotExist) {
		return one, usage("kilopond case list names the cases; else give a file", "%w, and no such file", err)
	}
	data, err := readSmall(name, scenarios.MaxFile)
	if err != nil {
		return one, err
	}
	one, err = scenarios.DecodeCase(name, data)
	if err == nil && takesPlace(one) {
		err = scenarios.Faults{{File: name, Message: fmt.Sprintf(takesPlaceSays, one.ID)}}
	}
	return one, err
}

// table is the study as rows: what was counted, of what, and how many.
func (r caseCheck) table() render.Table {
	t := render.Table{Header: []string{"of", "what", "people"}, Right: []bool{false, false, true}, Wrap: 1, Width: 50}
	row := func(of, what string, n int) { t.Rows = append(t.Rows, []string{of, what, strconv.Itoa(n)}) }
	for _, f := range r.Faults {
		t.Rows = append(t.Rows, []string{"fault", f, ""})
	}
	if r.Study == nil {
		return t
	}
	for _, g := range []struct {
		of  string
		all []grader.Tally
	}{{"act", r.Study.Acts}, {"band", r.Study.Bands}, {"stages", r.Study.Stages}, {"minutes more", r.Study.Extended}, {"end", r.Study.Ends}} {
		for _, x := range g.all {
			row(g.of, x.What, x.People)
		}
	}
	for _, d := range r.Study.Estimable {
		row("age", fmt.Sprintf("%d–%d, tested", d.FromY, d.FromY/10*10+9), d.Tested)
		row("age", fmt.Sprintf("%d–%d, can be estimated", d.FromY, d.FromY/10*10+9), d.Estimable)
	}
	for _, s := range r.Study.Signs {
		what := fmt.Sprintf("%s (first said %d, seen %d, found %d", s.Sign, s.Said, s.Seen, s.Found)
		if s.MedianS != nil {
			what += "; median " + render.Clock(*s.MedianS) + " of pedalling"
		}
		row("sign", what+")", s.People)
	}
	return t
}

// tell prints faults as they are, with line and caret, and the study as a table.
func (r caseCheck) tell(c *cobra.Command) error {
	for _, f := range r.Faults {
		if _, err := fmt.Fprintln(c.OutOrStdout(), f); err != nil {
			return err
		}
	}
	if r.Study == nil {
		return nil
	}
	if _, err := fmt.Fprintf(c.OutOrStdout(), "%d people of %s; the right act is said to be %s.\n\n", r.Study.People, r.Study.Case, r.Study.RightAct); err != nil {
		return err
	}
	if err := render.Write(c.OutOrStdout(), render.Text, r.table(), nil); err != nil {
		return err
	}
	lines := []string{"", "What comes out is what the case says."}
	if n := len(r.Study.Charged); n > 0 && r.Holds {
		note := fmt.Sprintf("The reference proctor itself lost points, in all %d, first by %s. That is no fault of the file.", n, r.Study.Charged[0])
		lines = append(lines, render.Wrap(note, 78, "", "  ")...)
	}
	if !r.Holds {
		lines = lines[:1]
		for _, d := range r.Study.Doubts {
			lines = append(lines, render.Wrap("Doubt: "+d+".", 78, "", "  ")...)
		}
	}
	_, err := fmt.Fprintln(c.OutOrStdout(), strings.Join(lines, "\n"))
	return err
}
