package render

import (
	"fmt"
	"strings"
	"testing"
)

// wideTable has keys, numbers, short and long text; every cell is a word found nowhere else.
func wideTable() (t Table, words []string) {
	t = Table{Keys: 2, Wrap: 5, Width: 30}
	for i := range 12 {
		t.Header = append(t.Header, fmt.Sprintf("column_%d", i))
		t.Right = append(t.Right, i%3 == 0)
	}
	for r := range 3 {
		var row []string
		for i := range t.Header {
			cell := fmt.Sprintf("r%dc%d", r, i)
			if i == 5 || i == 7 {
				cell = strings.TrimSpace(strings.Repeat(cell+"word ", 12)) + " " + cell
			}
			row, words = append(row, cell), append(words, cell[strings.LastIndex(cell, " ")+1:])
		}
		t.Rows = append(t.Rows, row)
	}
	return t, append(words, t.Header...)
}

// A table fits its width, and no cell of it is left out.
func TestATableFitsAndLosesNothing(t *testing.T) {
	table, words := wideTable()
	for width := narrowest; width <= 300; width++ {
		t.Setenv("COLUMNS", fmt.Sprint(width))
		var b strings.Builder
		if err := Write(&b, Text, table, nil); err != nil {
			t.Fatal(err)
		}
		found := map[string]bool{}
		for _, w := range strings.Fields(b.String()) {
			found[w] = true
		}
		for _, w := range words {
			if !found[w] {
				t.Fatalf("%d columns: %s is not printed", width, w)
			}
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if len(line) > width {
				t.Fatalf("%d columns: %d wide:\n%s", width, len(line), line)
			}
		}
		for _, part := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n\n") {
			if !strings.HasPrefix(part, " column_0") || !strings.Contains(strings.SplitN(part, "\n", 2)[0], "column_1 ") {
				t.Fatalf("%d columns: a part does not begin with the keys:\n%s", width, part)
			}
		}
	}
}

func TestWidth(t *testing.T) {
	for columns, want := range map[string]int{"": 80, "wide": 80, "-3": 80, "0": 80, "100": 100, "7": 40, "40": 40} {
		t.Setenv("COLUMNS", columns)
		if got := Width(&strings.Builder{}); got != want {
			t.Errorf("COLUMNS=%q: %d, want %d", columns, got, want)
		}
	}
}

// Where the place is wide enough a table stands as it always did.
func TestATableThatFitsStaysAsItIs(t *testing.T) {
	t.Setenv("COLUMNS", "80")
	var b strings.Builder
	table := Table{Header: []string{"id", "says"}, Wrap: 1, Width: 12, Rows: [][]string{{"a", "one two three"}, {"b", "  four five six"}}}
	if err := Write(&b, Text, table, nil); err != nil {
		t.Fatal(err)
	}
	const want = " id  says\n----------------\n a   one two\n     three\n b     four\n       five six\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

// Columns that can be spared go one after another, as few as need be, and are named.
func TestSpareColumnsAreNamed(t *testing.T) {
	table := Table{Header: []string{"student", "file", "case", "percent", "passed"}, Right: []bool{false, false, false, true}, Keys: 2, Wrap: -1, Spare: []string{"passed", "case"},
		Rows: [][]string{{"1000", strings.Repeat("f", 30), strings.Repeat("c", 9), "99.1", "yes"}}}
	for width, want := range map[int]struct{ shows, says string }{
		80: {"student file case percent passed", ""},
		65: {"student file case percent", "Not shown for want of room: passed. A wider window has them, and --format csv."},
		58: {"student file percent", "Not shown for want of room: passed, case. A wider window has them, and --format csv."},
	} {
		t.Setenv("COLUMNS", fmt.Sprint(width))
		var b strings.Builder
		if err := Write(&b, Text, table, nil); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(b.String(), "\n")
		if got := strings.Join(strings.Fields(lines[0]), " "); got != want.shows {
			t.Errorf("%d columns: %s, want %s", width, got, want.shows)
		}
		if got := strings.Join(strings.Fields(strings.Join(lines[3:], " ")), " "); got != want.says {
			t.Errorf("%d columns: %q, want %q", width, got, want.says)
		}
		if len(lines[2]) > width || !strings.Contains(lines[2], "99.1") {
			t.Errorf("%d columns:\n%s", width, b.String())
		}
	}
}
