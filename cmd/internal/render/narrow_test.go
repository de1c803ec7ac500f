package render

import (
	"strings"
	"testing"
)

func TestNarrow(t *testing.T) {
	const text = "before the test   0:12   standing   the dial at nothing yet\n> look\nStands easily, weight on one leg, an ordinary colour.\n" +
		"    “Nothing since this morning. I'm a bit peckish.”\n 1:43   |    |     |    |    |    |    |     |    |\n> "
	for columns, want := range map[string]string{
		"80": text, "200": text,
		"40": "before the test   0:12   standing   the dial at nothing yet\n> look\nStands easily, weight on one leg, an\nordinary colour.\n" +
			"    “Nothing since this morning. I'm a\n    bit peckish.”\n 1:43   |    |     |    |    |    |    |     |    |\n> ",
	} {
		t.Setenv("COLUMNS", columns)
		var b strings.Builder
		n := NewNarrow(&b)
		for _, piece := range strings.SplitAfter(text, "\n") { // as a dialogue writes
			if wrote, err := n.Write([]byte(piece)); err != nil || wrote != len(piece) {
				t.Fatal(wrote, err)
			}
		}
		if b.String() != want {
			t.Errorf("%s columns:\n%s\nwant\n%s", columns, b.String(), want)
		}
	}
}

// Nothing is lost, however the text comes in pieces.
func TestNarrowLosesNothing(t *testing.T) {
	t.Setenv("COLUMNS", "40")
	text := strings.Repeat("Each mark is a beat that you felt, a column a tenth of a second; in a list, each number is the time of a beat.\n\n  indented\n", 3)
	for size := 1; size < len(text); size += 7 {
		var b strings.Builder
		n := NewNarrow(&b)
		for rest := text; len(rest) > 0; {
			k := min(size, len(rest))
			if _, err := n.Write([]byte(rest[:k])); err != nil {
				t.Fatal(err)
			}
			rest = rest[k:]
		}
		if got, want := strings.Join(strings.Fields(b.String()), " "), strings.Join(strings.Fields(text), " "); got != want {
			t.Fatalf("in pieces of %d:\n%s", size, got)
		}
	}
}
