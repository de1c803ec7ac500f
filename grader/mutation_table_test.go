package grader

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"testing"
)

// mutationTable is where the large run of the mutation study is kept.
const mutationTable = "testdata/mutation.csv"

// mutationHead is the head of that table.
var mutationHead = []string{"kind", "style", "planted", "named", "named_percent", "extra", "extra_percent", "note"}

// mutationNotes say of some kinds where the trade itself leaves room. Attempts in which the mistake turned out to be none are not counted: leftOpen.
var mutationNotes = map[string]string{
	"miscounted at the ceiling":              "where the finger itself felt a beat too many, the wrong number lies nearer to the truth and only the ceiling is charged; a rate hidden by two beats is a miscount and no missed stop",
	"ended after stage 2":                    "within one beat of the count of the ceiling the end is right",
	"no pressure, stage 2":                   "where the end came for a reason before a pressure was overdue, none is owed",
	"age misread":                            "an age two years off moves the ceiling by 2 bpm; who ends there ends a stage too early by the house's",
	"went on with a slipped brake":           "the ceiling may end the test before the second look at the scale is overdue",
	"another equation for the maximum":       "where one stage alone can be used, the value goes by the right maximum: a second slip, said as well",
	"urged on at a higher load":              "a person who asks before the count of the last minute leaves that undone: said as well",
	"recovery pulse left out":                "where the cuff had the minute, the pulse may follow as soon as it is down",
	"needless minute":                        "the added minute can be one too many, or pass without a pulse: said as well",
	"went on above the limit":                "few come to the limit of this setting, and the pulse may have come to its own",
	"went on with a leg in pain":             "what was to be looked at again at that load is left as well: both said",
	"went on after a confirmed uneven pulse": "what was to be looked at again at that load is left as well: both said",
	"raised the load instead of stopping":    "a cuff that was to be pumped again is left as well: both said",
	"dial turned":                            "with a helper the count that was under way is lost as well: two omissions, both said",
	"pressure too early":                     "a long pressure at the start of a stage leaves what belongs there undone: said as well",
	"stage cut short":                        "with a helper the report comes in the next stage and is taken for a count of that: said as well",
	"ended on one flat rate":                 "with a helper's late report a count is missing besides",
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

// readTable is a table of testdata without its head.
func readTable(t *testing.T, path string, head []string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 2 || !slices.Equal(all[0], head) {
		t.Fatalf("%s: want the head %v", path, head)
	}
	return all[1:]
}

// TestMutationTable holds the table of the last large run to the floor, and to the kinds and styles of today: who adds one runs it again.
func TestMutationTable(t *testing.T) {
	want := map[[2]string]bool{{"all", "all"}: true}
	for _, m := range mistakeKinds() {
		for _, w := range mutationStyles() {
			want[[2]string{m.habit, w.name}] = true
		}
	}
	planted, named, extra := 0, 0, 0
	for _, row := range readTable(t, mutationTable, mutationHead) {
		key := [2]string{row[0], row[1]}
		if !want[key] {
			t.Errorf("%v is no kind and style of today, or stands twice", key)
		}
		delete(want, key)
		p, n, e := int(parsed(row[2])), int(parsed(row[3])), int(parsed(row[5]))
		if row[4] != share100(n, p) || row[6] != share100(e, p) {
			t.Errorf("%v: %s %% and %s %%, want %s and %s", key, row[4], row[6], share100(n, p), share100(e, p))
		}
		if row[0] != "all" {
			planted, named, extra = planted+p, named+n, extra+e
			continue
		}
		if p != planted || n != named || e != extra {
			t.Errorf("all: %d, %d, %d; the rows add up to %d, %d, %d", p, n, e, planted, named, extra)
		}
	}
	for key := range want {
		t.Errorf("%v is missing", key)
	}
	if percent(named, planted) < leastNamed || percent(extra, planted) > mostExtra {
		t.Errorf("%.2f %% named, %.2f %% with a finding besides", percent(named, planted), percent(extra, planted))
	}
}
