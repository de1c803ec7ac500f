package render

import (
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"golang.org/x/term"
)

// What is printed is laid out for 80 columns where nothing else is known, and for no fewer than 40.
const (
	usualWidth    = 80
	narrowest     = 40
	between       = 2  // blanks around a column
	narrowestText = 14 // to which a column of long text gives way; one of short text to half of it
	narrowestKey  = 24 // to which a key does
)

// Width is how many columns there are to print in: what COLUMNS says, else the terminal's own, else 80.
func Width(w io.Writer) int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		return max(n, narrowest)
	}
	if f, ok := Terminal(w); ok {
		if n, _, err := term.GetSize(int(f.Fd())); err == nil && n > 0 {
			return max(n, narrowest)
		}
	}
	return usualWidth
}

// fit lays a table out within a width and leaves nothing out: columns of text are wrapped closer, and where that is not enough the table stands in
// parts below each other, each beginning with the keys.
func (t Table) fit(width int) []Table {
	widths, least := t.widths()
	for total(widths) > width {
		widest := -1
		for i := range widths {
			if widths[i] > least[i] && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return t.parts(width, least)
		}
		widths[widest]--
	}
	return []Table{t.wrapped(widths)}
}

// slim takes spare columns away, one after another, until the rest fits.
func (t Table) slim(width int) (Table, []string) {
	var without []string
	for _, name := range t.Spare {
		_, least := t.widths()
		if total(least) <= width {
			break
		}
		if i := slices.Index(t.Header, name); i >= t.keys() {
			t, without = t.less(i), append(without, name)
		}
	}
	return t, without
}

// less is the table without a column.
func (t Table) less(column int) Table {
	out := t
	out.Header = slices.Delete(slices.Clone(t.Header), column, column+1)
	out.Right, out.Rows = nil, make([][]string, len(t.Rows))
	for i := range t.Header {
		if i != column {
			out.Right = append(out.Right, t.number(i))
		}
	}
	for i, row := range t.Rows {
		out.Rows[i] = slices.Clone(row)
		if column < len(row) {
			out.Rows[i] = slices.Delete(out.Rows[i], column, column+1)
		}
	}
	switch {
	case t.Wrap == column:
		out.Wrap = -1
	case t.Wrap > column:
		out.Wrap--
	}
	return out
}

// widths is how wide each column is by itself, and to what it can give way.
func (t Table) widths() (natural, least []int) {
	natural, least = make([]int, len(t.Header)), make([]int, len(t.Header))
	for i := range t.Header {
		word := 0
		for _, row := range append([][]string{t.Header}, t.Rows...) {
			if i >= len(row) {
				continue
			}
			for _, line := range strings.Split(row[i], "\n") {
				natural[i] = max(natural[i], columns(line))
			}
			for _, w := range strings.Fields(row[i]) {
				word = max(word, columns(w))
			}
		}
		if i == t.Wrap && t.Width > 0 {
			natural[i] = min(natural[i], max(t.Width-between, word))
		}
		least[i] = natural[i]
		switch {
		case i == t.Wrap || i >= t.keys() && !t.number(i):
			least[i] = min(natural[i], max(word, min(narrowestText, natural[i]/2)))
		case !t.number(i):
			least[i] = min(natural[i], max(word, narrowestKey))
		}
	}
	return natural, least
}

// columns is how many columns a text takes on a terminal.
func columns(text string) int { return twwidth.WidthWithOptions(text, twwidth.Options{}) }

func (t Table) keys() int { return min(max(1, t.Keys), len(t.Header)) }

func (t Table) number(column int) bool { return column < len(t.Right) && t.Right[column] }

func total(widths []int) int {
	n := 0
	for _, w := range widths {
		n += w + between
	}
	return n
}

// wrapped breaks the lines of each column that are longer than it.
func (t Table) wrapped(widths []int) Table {
	rows := make([][]string, len(t.Rows))
	for r, row := range t.Rows {
		rows[r] = broken(row, widths)
	}
	t.Header, t.Rows = broken(t.Header, widths), rows
	return t
}

// broken is a row whose lines are no longer than their columns are wide, as far as words allow.
func broken(row []string, widths []int) []string {
	out := slices.Clone(row)
	for i, cell := range row {
		var lines []string
		for _, line := range strings.Split(cell, "\n") {
			if i < len(widths) && columns(line) > widths[i] {
				indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
				lines = append(lines, Wrap(line, widths[i], indent, indent)...)
			} else {
				lines = append(lines, line)
			}
		}
		out[i] = strings.Join(lines, "\n")
	}
	return out
}

// parts cuts a table by columns; least is to what each can give way. A column that is too wide by itself stands alone beside the keys.
func (t Table) parts(width int, least []int) []Table {
	var all []Table
	for from := t.keys(); from < len(t.Header); {
		to, used := from, total(least[:t.keys()])
		for to < len(t.Header) && (to == from || used+least[to]+between <= width) {
			used += least[to] + between
			to++
		}
		part := t.part(from, to)
		if used > width {
			_, narrow := part.widths()
			all = append(all, part.wrapped(narrow))
		} else {
			all = append(all, part.fit(width)...)
		}
		from = to
	}
	return all
}

// part is the keys of a table and its columns from … to.
func (t Table) part(from, to int) Table {
	out := Table{Wrap: -1, Keys: t.Keys, Header: cut(t.Header, t.keys(), from, to)}
	for _, row := range t.Rows {
		out.Rows = append(out.Rows, cut(row, t.keys(), from, to))
	}
	for i := range t.Header {
		if i >= t.keys() && (i < from || i >= to) {
			continue
		}
		if i == t.Wrap {
			out.Wrap, out.Width = len(out.Right), t.Width
		}
		out.Right = append(out.Right, t.number(i))
	}
	return out
}

// cut is the keys of a row and its cells from … to.
func cut(row []string, keys, from, to int) []string {
	out := append([]string{}, row[:min(keys, len(row))]...)
	if from < len(row) {
		out = append(out, row[from:min(to, len(row))]...)
	}
	return out
}
