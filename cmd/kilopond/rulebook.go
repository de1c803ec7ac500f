package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/scenarios"
)

func newRulebook() *cobra.Command {
	c := &cobra.Command{Use: "rulebook", Short: "House rules", Args: args(cobra.NoArgs, "kilopond rulebook list, show, new, check or diff")}
	c.RunE = func(*cobra.Command, []string) error {
		return usage("kilopond rulebook list, show, new, check or diff", "rulebook: list, show, new, check or diff?")
	}
	c.AddCommand(newRulebookList(), newRulebookShow(), newRulebookNew(), newRulebookCheck(), newRulebookDiff())
	return c
}

func newRulebookList() *cobra.Command {
	c := &cobra.Command{Use: "list", Short: "List the rulebooks that ship", Args: args(cobra.NoArgs, "kilopond rulebook list")}
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		t := render.Table{Header: []string{"name", "says"}, Wrap: 1, Width: 56}
		for _, p := range grader.Presets() {
			t.Rows = append(t.Rows, []string{p.Name, p.Says})
		}
		return render.Write(c.OutOrStdout(), f, t, grader.Presets())
	}
	return c
}

func newRulebookShow() *cobra.Command {
	c := &cobra.Command{Use: "show [NAME|FILE]", Short: "Every rule with its path, value, meaning and source", Args: args(cobra.MaximumNArgs(1), "kilopond rulebook show three-band")}
	addRules(c)
	c.Flags().Bool("why", false, "every rule of conduct and calculation instead: what it asks, why it exists, where it is written")
	c.Flags().String("pdf", "", "write the rules as a page to print, instead of the table")
	c.Flags().String("paper", "a4", "size of the paper: "+strings.Join(paper.Sizes(), " or "))
	c.Flags().Bool("force", false, "write over a file that exists")
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		name, err := named(c, given)
		if err != nil {
			return err
		}
		b, err := rulesOf(c, name)
		if err != nil {
			return err
		}
		if c.Flags().Changed("pdf") {
			size, err := c.Flags().GetString("paper")
			must(err)
			if !slices.Contains(paper.Sizes(), size) {
				return usage(strings.Join(paper.Sizes(), " or "), "--paper %q: not a size of paper", size)
			}
			return rulebookPDF(c, b)
		}
		if why, err := c.Flags().GetBool("why"); err == nil && why {
			return writeWhys(c.OutOrStdout(), f, b)
		}
		t := render.Table{Header: []string{"path", "value", "meaning", "source"}, Wrap: -1}
		for _, s := range b.Describe() {
			t.Rows = append(t.Rows, []string{s.Path, s.Value, s.Meaning, s.Source})
		}
		if f == render.Text {
			t = meaningBelow(t, 2)
		}
		return render.Write(c.OutOrStdout(), f, t, b.Describe())
	}
	return c
}

// A ruleCheck is the result of rulebook check.
type ruleCheck struct {
	Name         string               `json:"name"`
	Holds        bool                 `json:"holds"`
	Faults       []string             `json:"faults"`
	Consequences []grader.Consequence `json:"consequences"`
}

func newRulebookCheck() *cobra.Command {
	c := &cobra.Command{
		Use:   "check [NAME|FILE]",
		Short: "Whether a rulebook can work, and what its settings come to",
		Long: "Whether a rulebook can work: every fault with its line, exit 1. Of one that can, what its settings come to, in numbers worked out on\n" +
			"the spot; a line with “look again” works, but not for everybody.",
		Args: args(cobra.MaximumNArgs(1), "kilopond rulebook check our-rules.yaml"),
	}
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		name, err := named(c, given)
		if err != nil {
			return err
		}
		if name == "" && !c.Flags().Changed("set") {
			return usage("kilopond rulebook check our-rules.yaml", "rulebook check: which one?")
		}
		b, err := rulesOf(c, name)
		if err != nil && !errors.As(err, new(scenarios.Faults)) {
			return err
		}
		r := ruleCheck{Name: b.Name, Holds: err == nil, Faults: []string{}, Consequences: []grader.Consequence{}}
		t := render.Table{Header: []string{"path", "says", ""}, Wrap: 1, Width: 52}
		if err != nil {
			var faults scenarios.Faults
			errors.As(err, &faults)
			r.Name = name
			r.Faults = append(r.Faults, faults.Error())
			if f == render.Text { // a fault shows its line and a caret, which no column may break
				if _, err := fmt.Fprintln(c.OutOrStdout(), faults); err != nil {
					return err
				}
				return errReported
			}
			t.Rows = append(t.Rows, []string{"", faults.Error(), "fault"})
		} else {
			r.Consequences = b.Consequences()
			for _, q := range r.Consequences {
				mark := ""
				if q.Doubt {
					mark = "look again"
				}
				t.Rows = append(t.Rows, []string{q.Path, q.Says, mark})
			}
		}
		if err := render.Write(c.OutOrStdout(), f, t, r); err != nil {
			return err
		}
		if !r.Holds {
			return errReported
		}
		return nil
	}
	return c
}

func newRulebookDiff() *cobra.Command {
	c := &cobra.Command{
		Use:   "diff [FIRST] [SECOND]",
		Short: "On what two rulebooks differ",
		Long: "On what two rulebooks differ. The second may be given by --rulebook; without a second it is the first with what --set changes, and without a\n" +
			"first this is the one in force when none is asked for.",
		Args: args(cobra.MaximumNArgs(2), "kilopond rulebook diff four-band our-rules.yaml"),
	}
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		var names [2]string
		copy(names[:], given)
		if names[1], err = named(c, given[min(1, len(given)):]); err != nil {
			return err
		}
		if names[1] == "" && !c.Flags().Changed("set") {
			return usage("kilopond rulebook diff four-band our-rules.yaml, or --set PATH=VALUE", "rulebook diff: with which second one?")
		}
		if names[1] == "" {
			names[1] = names[0]
		}
		first, err := loadRulebook(names[0])
		if err != nil {
			return err
		}
		second, err := rulesOf(c, names[1])
		if err != nil {
			return err
		}
		all := grader.Diff(first, second)
		t := render.Table{Header: []string{"path", "first", "second", "meaning"}, Wrap: -1}
		for _, d := range all {
			t.Rows = append(t.Rows, []string{d.Path, d.First, d.Second, d.Meaning})
		}
		if f == render.Text {
			t = meaningBelow(t, 3)
		}
		return render.Write(c.OutOrStdout(), f, t, all)
	}
	return c
}

// named is the rulebook that stands behind the command or with --rulebook, "" when none does.
func named(c *cobra.Command, given []string) (string, error) {
	name, err := c.Flags().GetString("rulebook")
	must(err)
	switch {
	case len(given) == 0:
		return name, nil
	case c.Flags().Changed("rulebook"):
		return "", usage("give one of them", "%s: both %s and --rulebook %s", c.CommandPath(), given[0], name)
	}
	return given[0], nil
}

// longestPath is how wide the paths of a rulebook are.
const longestPath = 44

// meaningBelow lays a table of rules out for the eye: what a rule means stands below its path, so that all fits beside each other.
func meaningBelow(t render.Table, column int) render.Table {
	t.Header[0], t.Wrap, t.Width = "path, and what it means", 0, longestPath
	t.Header = slices.Delete(t.Header, column, column+1)
	for i, row := range t.Rows {
		row[0] += "\n  " + row[column]
		t.Rows[i] = slices.Delete(row, column, column+1)
	}
	return t
}
