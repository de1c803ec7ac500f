package main

import (
	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
)

func newRulebook() *cobra.Command {
	c := &cobra.Command{Use: "rulebook", Short: "House rules", Args: args(cobra.NoArgs, "kilopond rulebook list, or kilopond rulebook show")}
	c.RunE = func(*cobra.Command, []string) error {
		return usage("kilopond rulebook list, or kilopond rulebook show", "rulebook: list or show?")
	}
	list := &cobra.Command{Use: "list", Short: "List the rulebooks that ship", Args: args(cobra.NoArgs, "kilopond rulebook list")}
	addFormat(list)
	list.RunE = func(c *cobra.Command, _ []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		t := render.Table{Header: []string{"name", "says"}, Wrap: 1, Width: 60}
		for _, p := range grader.Presets() {
			t.Rows = append(t.Rows, []string{p.Name, p.Says})
		}
		return render.Write(c.OutOrStdout(), f, t, grader.Presets())
	}
	show := &cobra.Command{Use: "show [NAME|FILE]", Short: "Every rule with its path, value, meaning and source", Args: args(cobra.MaximumNArgs(1), "kilopond rulebook show three-band")}
	show.Flags().StringArray("set", nil, "change one rule first: PATH=VALUE (may be repeated)")
	addFormat(show)
	show.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		b := grader.Default()
		if len(given) == 1 {
			if b, err = loadRulebook(given[0]); err != nil {
				return err
			}
		}
		sets, err := c.Flags().GetStringArray("set")
		must(err)
		if err := b.SetAll(sets); err != nil {
			return usage("kilopond rulebook show lists every path with its value", "%w", err)
		}
		t := render.Table{Header: []string{"path", "value", "meaning", "source"}, Wrap: 2, Width: 44}
		for _, s := range b.Describe() {
			t.Rows = append(t.Rows, []string{s.Path, s.Value, s.Meaning, s.Source})
		}
		return render.Write(c.OutOrStdout(), f, t, b.Describe())
	}
	c.AddCommand(list, show)
	return c
}
