package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

// caseRow is one case as listed; what spoils is empty unless asked for.
type caseRow struct {
	ID         string `json:"id"`
	Title      string `json:"title"`
	Difficulty int    `json:"difficulty"`
	Spoiler    string `json:"spoiler,omitempty"`
	Teaches    string `json:"teaches,omitempty"`
	RightAct   string `json:"right_act,omitempty"`
	Note       string `json:"note,omitempty"`

	Competency []string `json:"competency,omitempty"`
}

const caseHint = "kilopond case list, show NAME, new FILE, check NAME|FILE, or preview NAME|FILE"

func newCase() *cobra.Command {
	c := &cobra.Command{Use: "case", Short: "The cases that ship, and your own", Args: args(cobra.NoArgs, caseHint)}
	c.RunE = func(c *cobra.Command, _ []string) error {
		return usage(caseHint, "case: list, show, new, check or preview?")
	}
	list := &cobra.Command{Use: "list", Short: "List the cases; --spoil says what each is about", Args: args(cobra.NoArgs, "kilopond case list")}
	show := &cobra.Command{Use: "show NAME", Short: "Show one case; --spoil says what it is about", Args: args(cobra.ExactArgs(1), "kilopond case list names the cases"), ValidArgsFunction: completeCases}
	for _, x := range []*cobra.Command{list, show} {
		x.Flags().Bool("spoil", false, "say what the case is about")
		addCases(x)
		addFormat(x)
	}
	list.RunE = func(c *cobra.Command, _ []string) error {
		from, err := shelf(c)
		if err != nil {
			return err
		}
		all, err := from.all()
		if err != nil {
			return err
		}
		return writeCases(c, all, false)
	}
	show.RunE = func(c *cobra.Command, given []string) error {
		from, err := shelf(c)
		if err != nil {
			return err
		}
		one, err := from.load(given[0])
		if err != nil {
			return err
		}
		return writeCases(c, []scenarios.Case{one}, true)
	}
	c.AddCommand(list, show, newCaseNew(), newCaseCheck(), newCasePreview())
	return c
}

func writeCases(c *cobra.Command, all []scenarios.Case, single bool) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	spoil, err := c.Flags().GetBool("spoil")
	must(err)
	t := render.Table{Header: []string{"id", "title", "difficulty"}, Right: []bool{false, false, true}, Wrap: -1}
	if spoil {
		t.Header, t.Wrap, t.Width = append(t.Header, "right_act", "spoiler"), 4, 34
		t.Header[1] = "title"
	}
	rows := []caseRow{}
	for _, x := range all {
		r := caseRow{ID: x.ID, Title: x.Title, Difficulty: x.Difficulty}
		cells := []string{x.ID, x.Title, strconv.Itoa(x.Difficulty)}
		if spoil {
			r.Spoiler, r.Teaches, r.RightAct, r.Note = x.Spoiler, x.Teaches, string(x.RightAct), x.Note
			r.Competency = x.Practises()
			cells = append(cells, r.RightAct, r.Spoiler)
		}
		rows, t.Rows = append(rows, r), append(t.Rows, cells)
	}
	if spoil && f == render.Text { // the title is the same for most, and the line is short
		for i := range t.Rows {
			t.Rows[i] = append(t.Rows[i][:1:1], t.Rows[i][2:]...)
		}
		t.Header = append(t.Header[:1:1], t.Header[2:]...)
		t.Right, t.Wrap = []bool{false, true}, 3
	}
	if single && f == render.JSON {
		return render.WriteJSON(c.OutOrStdout(), rows[0])
	}
	return render.Write(c.OutOrStdout(), f, t, rows)
}
