package render

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// A Format is how a result is written.
type Format string

const (
	Text     Format = "table"
	Markdown Format = "markdown"
	CSV      Format = "csv"
	JSON     Format = "json"
)

// Formats lists them.
func Formats() []string { return []string{string(Text), string(Markdown), string(CSV), string(JSON)} }

// A Table is a result as rows. In text columns are wrapped, and a table too wide for the place stands in parts below each other.
type Table struct {
	Header []string
	Right  []bool   // columns of numbers
	Keys   int      // first columns, which each part of a wide table repeats; one when 0
	Spare  []string // headings of columns that a narrow place does without, in this order; they are named below
	Wrap   int      // column that takes long text, −1 when none
	Width  int      // of that column in text, at most
	Rows   [][]string
}

// Write writes the table, or value as JSON, in the format.
func Write(w io.Writer, f Format, t Table, value any) error {
	switch f {
	case JSON:
		return WriteJSON(w, value)
	case CSV:
		c := csv.NewWriter(w)
		if err := c.Write(t.Header); err != nil {
			return err
		}
		if err := c.WriteAll(printable(t.Rows, "\t")); err != nil {
			return err
		}
		return c.Error()
	case Markdown:
		return t.markdown(w)
	}
	return t.text(w)
}

// WriteJSON writes the value indented, with its characters as they are when they can be printed.
func WriteJSON(w io.Writer, value any) error {
	e := json.NewEncoder(NewPlain(w))
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(value)
}

func (t Table) align() []tw.Align {
	all := make([]tw.Align, len(t.Header))
	for i := range all {
		all[i] = tw.AlignLeft
		if i < len(t.Right) && t.Right[i] {
			all[i] = tw.AlignRight
		}
	}
	return all
}

// printable writes what could turn a terminal about as its number; a line may end in a cell. A tab becomes what tab says.
func printable(rows [][]string, tab string) [][]string {
	out := make([][]string, len(rows))
	for i, row := range rows {
		out[i] = make([]string, len(row))
		for j, cell := range row {
			out[i][j] = Legible(strings.ReplaceAll(cell, "\t", tab))
		}
	}
	return out
}

// text writes aligned columns without borders, within the width of the place.
func (t Table) text(w io.Writer) error {
	t.Rows = printable(t.Rows, " ")
	t, without := t.slim(Width(w))
	for i, part := range t.fit(Width(w)) {
		if i > 0 {
			if _, err := fmt.Fprintln(w); err != nil {
				return err
			}
		}
		if err := part.aligned(w); err != nil {
			return err
		}
	}
	if len(without) == 0 {
		return nil
	}
	says := "Not shown for want of room: " + strings.Join(without, ", ") + ". A wider window has them, and --format csv."
	_, err := fmt.Fprintln(w, strings.Join(Wrap(says, Width(w)-between, "", ""), "\n"))
	return err
}

// aligned writes a table as it is. Its blanks at line ends are taken off, so that a transcript compares.
func (t Table) aligned(w io.Writer) error {
	cell := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoFormat: tw.Off, AutoWrap: tw.WrapNone},
		Alignment:  tw.CellAlignment{PerColumn: t.align()},
	}
	var b strings.Builder
	table := tablewriter.NewTable(&b,
		tablewriter.WithConfig(tablewriter.Config{Header: cell, Row: cell}), // must come first: it merges into the defaults
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRendition(tw.Rendition{Borders: tw.BorderNone, Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.Off}}}))
	table.Header(t.Header)
	if err := table.Bulk(t.Rows); err != nil {
		return err
	}
	if err := table.Render(); err != nil {
		return err
	}
	for _, line := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " ")); err != nil {
			return err
		}
	}
	return nil
}

func (t Table) markdown(w io.Writer) error {
	cell := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoFormat: tw.Off, AutoWrap: tw.WrapNone},
		Alignment:  tw.CellAlignment{PerColumn: t.align()},
	}
	table := tablewriter.NewTable(w,
		tablewriter.WithConfig(tablewriter.Config{Header: cell, Row: cell}),
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRenderer(renderer.NewMarkdown()))
	table.Header(t.Header)
	for _, r := range printable(t.Rows, " ") {
		safe := make([]string, len(r))
		for i, c := range r {
			safe[i] = strings.ReplaceAll(c, "|", `\|`) // the renderer does not
		}
		if err := table.Append(safe); err != nil {
			return err
		}
	}
	return table.Render()
}
