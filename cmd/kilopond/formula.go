package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

func newFormula() *cobra.Command {
	c := &cobra.Command{
		Use:   "formula list | show KIND | KIND key=value …",
		Short: "Every published formula and table, worked line by line",
		Args:  args(cobra.MinimumNArgs(1), "kilopond formula list"),
		ValidArgsFunction: func(_ *cobra.Command, given []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(given) == 0 {
				return append([]string{"list", "show"}, protocol.Kinds()...), cobra.ShellCompDirectiveNoFileComp
			}
			return protocol.Kinds(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		switch given[0] {
		case "list":
			if len(given) > 1 {
				return usage("kilopond formula list", "formula list takes nothing after it")
			}
			return formulaList(c, f)
		case "show":
			if len(given) != 2 {
				return usage("kilopond formula show mets", "formula show: which one?")
			}
			return formulaShow(c, f, given[1])
		}
		return formulaWork(c, f, given[0], given[1:])
	}
	return c
}

func noKind(kind string) error {
	hint := "kilopond formula list names them"
	if near := scenarios.Nearest(kind, append(protocol.Kinds(), "list", "show")); near != "" {
		hint = "did you mean " + near + "?"
	}
	return usage(hint, "formula %q: none of that name", kind)
}

func keyNames(f protocol.Formula) string {
	var all []string
	for _, k := range f.Keys {
		if k.Optional {
			all = append(all, "["+k.Name+"]")
		} else {
			all = append(all, k.Name)
		}
	}
	return strings.Join(all, " ")
}

func formulaList(c *cobra.Command, f render.Format) error {
	t := render.Table{Header: []string{"kind", "keys", "quantity", "unit"}, Wrap: 1, Width: 30}
	if f != render.Text {
		t.Header = append(t.Header, "source")
	}
	for _, x := range protocol.Formulas() {
		row := []string{x.Kind, keyNames(x), x.Quantity, x.Unit}
		if f != render.Text {
			row = append(row, x.Source)
		}
		t.Rows = append(t.Rows, row)
	}
	return render.Write(c.OutOrStdout(), f, t, protocol.Formulas())
}

func formulaShow(c *cobra.Command, f render.Format, kind string) error {
	x, ok := protocol.FormulaOf(kind)
	if !ok {
		return noKind(kind)
	}
	if f == render.JSON {
		return render.WriteJSON(c.OutOrStdout(), x)
	}
	t := render.Table{Header: []string{"key", "unit", "meaning"}, Wrap: 2, Width: 50}
	for _, k := range x.Keys {
		name := k.Name
		if k.Optional {
			name = "[" + name + "]"
		}
		t.Rows = append(t.Rows, []string{name, k.Unit, k.Meaning})
	}
	if f == render.Text {
		fmt.Fprintf(c.OutOrStdout(), "%s\ngives: %s (%s)\nsource: %s\n", x.Says, x.Quantity, x.Unit, x.Source)
	}
	return render.Write(c.OutOrStdout(), f, t, x)
}

func formulaWork(c *cobra.Command, f render.Format, kind string, pairs []string) error {
	if _, ok := protocol.FormulaOf(kind); !ok {
		return noKind(kind)
	}
	given := map[string]string{}
	for _, p := range pairs {
		k, v, ok := strings.Cut(p, "=")
		if !ok || k == "" {
			return usage("kilopond formula show "+kind+" lists its keys", "formula %s: %q is not key=value", kind, p)
		}
		if _, twice := given[k]; twice {
			return usage("give each key once", "formula %s: %s is given twice", kind, k)
		}
		given[k] = v
	}
	w, err := protocol.Work(kind, given)
	var bad *protocol.BadInput
	if errors.As(err, &bad) {
		return usage(bad.Hint, "formula %s: %v", kind, bad)
	}
	if err != nil {
		return err
	}
	switch f {
	case render.JSON:
		return render.WriteJSON(c.OutOrStdout(), w)
	case render.Text:
		for _, s := range w.Steps {
			fmt.Fprintln(c.OutOrStdout(), s)
		}
		for _, note := range w.Warnings {
			fmt.Fprintln(c.OutOrStdout(), "note: "+note)
		}
		fmt.Fprintln(c.OutOrStdout(), strings.TrimSpace(fmt.Sprintf("%s: %s %s", w.Quantity, valueText(w.Value), w.Unit)))
		fmt.Fprintln(c.OutOrStdout(), "source: "+w.Source)
		return nil
	}
	t := render.Table{Header: []string{"kind", "quantity", "value", "unit", "source"}, Wrap: -1, Rows: [][]string{{w.Kind, w.Quantity, valueText(w.Value), w.Unit, w.Source}}}
	return render.Write(c.OutOrStdout(), f, t, w)
}

// valueText prints a value with the digits of a pocket calculator.
func valueText(v any) string {
	if x, ok := v.(float64); ok {
		return strconv.FormatFloat(x, 'g', 10, 64)
	}
	return fmt.Sprint(v)
}
