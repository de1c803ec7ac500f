package grader

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// mutationTable is where the large run of the mutation study is kept.
const mutationTable = "testdata/mutation.csv"

// mutationHead is the head of that table.
var mutationHead = []string{"kind", "style", "planted", "named", "named_percent", "extra", "extra_percent", "note"}

// mutationNotes say of some kinds where the trade itself leaves room.
var mutationNotes = map[string]string{
	"pumped too little":                  "by chance the first marks are silent and the low reading looks real: verify-pressure asks for a repeat, and the repeat mends it",
	"tested in spite of a high pressure": "open in the trade: after two high readings in the chair a third on the cycle, below the limit, is taken for the last word",
	"miscounted at the ceiling":          "where the finger itself felt a beat too many, the wrong number lies nearer to the truth and only the ceiling is charged",
	"age misread":                        "an age two years off moves the ceiling by 2 bpm; who ends there ends a stage too early by the house's",
	"went on with a slipped brake":       "the ceiling may end the test before the second look at the scale is overdue",
	"dial turned":                        "with a helper the count that was under way is lost as well: two omissions, both said",
	"pressure too early":                 "a long pressure at the start of a stage leaves what belongs there undone: said as well",
	"stage cut short":                    "with a helper the report comes in the next stage and is taken for a count of that: said as well",
	"ended on one flat rate":             "with a helper's late report a count is missing besides",
}

// writeMutations writes the table, a row for each kind and style, then one for each kind in all styles, and one for all.
func writeMutations(t *testing.T, rows []tally) {
	t.Helper()
	f, err := os.Create(mutationTable)
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	put := func(kind, style string, planted, named, extra int, note string) {
		err := w.Write([]string{kind, style, strconv.Itoa(planted), strconv.Itoa(named), share100(named, planted), strconv.Itoa(extra), share100(extra, planted), note})
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Write(mutationHead); err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		put(r.kind, r.style, r.planted, r.named, r.extra, mutationNotes[r.kind])
	}
	put("all", "all", sumOf(rows, plantedIn), sumOf(rows, namedIn), sumOf(rows, extraIn), "")
	w.Flush()
	if err := w.Error(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

func plantedIn(r tally) int { return r.planted }
func namedIn(r tally) int   { return r.named }
func extraIn(r tally) int   { return r.extra }

func sumOf(rows []tally, of func(tally) int) int {
	n := 0
	for _, r := range rows {
		n += of(r)
	}
	return n
}

// share100 is a share in percent as the table prints it; empty of nothing.
func share100(n, of int) string {
	if of == 0 {
		return ""
	}
	return strconv.FormatFloat(percent(n, of), 'f', 1, 64)
}
