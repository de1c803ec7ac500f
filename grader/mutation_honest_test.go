package grader

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"

	"kilopond/scenarios"
)

// honestTable is where the large run of the honest styles is kept.
const honestTable = "testdata/honest.csv"

// honestSeeds is how many people of each case every run of the tests tries, each in another style.
const honestSeeds = 2

// An honestRow is what the honest styles lost on the people of one case.
type honestRow struct {
	id             string
	attempts, lost int
	seen           []string
}

// TestHonestStylesLoseNothing plays the honest styles alone on every case of the library, another style on each person.
//
// MUTATION=200 go test ./grader -run Honest -timeout 1h is the large run: 200 people of each case. It writes testdata/honest.csv.
func TestHonestStylesLoseNothing(t *testing.T) {
	seeds := max(honestSeeds, manySeeds())
	cases, err := scenarios.Library()
	if err != nil {
		t.Fatal(err)
	}
	rows := make([]honestRow, len(cases))
	var workers sync.WaitGroup
	next := make(chan int)
	for range 2 {
		workers.Add(1)
		go func() {
			defer workers.Done()
			for i := range next {
				rows[i].id = cases[i].ID
				rows[i].fill(cases[i], seeds, i)
			}
		}()
	}
	for i := range rows {
		if strings.Contains(cases[i].ID, os.Getenv("MUTATION_ONLY")) {
			next <- i
		}
	}
	close(next)
	workers.Wait()
	attempts, lost := 0, 0
	for _, r := range rows {
		attempts, lost = attempts+r.attempts, lost+r.lost
		for _, line := range r.seen {
			t.Log(line)
		}
	}
	t.Logf("%d attempts, %.2f %% lost something", attempts, percent(lost, attempts))
	if attempts < len(cases)*seeds || percent(lost, attempts) > mostExtra {
		t.Errorf("want at most %v %% of at least %d attempts", mostExtra, len(cases)*seeds)
	}
	if manySeeds() > 0 {
		writeHonest(t, rows)
	}
}

func (r *honestRow) fill(c scenarios.Case, seeds, i int) {
	for seed := range scenarios.Seed(seeds) {
		w := styles()[(int(seed)+3*i)%len(styles())]
		book := bookOf(w.set)
		p := &planting{style: w.habit()}
		r.attempts++
		st, err := attempt(book, c, seed, p.do)
		if err != nil {
			r.lost++
			r.seen = append(r.seen, "== "+w.name+": "+err.Error())
			continue
		}
		course, err := Read(st.header, st.lines)
		if err != nil {
			r.seen = append(r.seen, err.Error())
			continue
		}
		report, _ := gradeItems(book, course)
		if report.Percent != nil && *report.Percent == 100 && len(report.Gate) == 0 {
			continue
		}
		r.lost++
		r.seen = append(r.seen, "== "+r.id+" / "+w.name+" seed "+strconv.Itoa(int(seed)))
		for _, f := range charges(report) {
			r.seen = append(r.seen, "   "+line(f))
		}
	}
}

// writeHonest writes the table, a row for each case and one for all.
func writeHonest(t *testing.T, rows []honestRow) {
	t.Helper()
	f, err := os.Create(honestTable)
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	all := honestRow{id: "all"}
	for _, r := range rows {
		all.attempts, all.lost = all.attempts+r.attempts, all.lost+r.lost
	}
	table := [][]string{{"case", "attempts", "lost", "lost_percent"}}
	for _, r := range append(rows, all) {
		table = append(table, []string{r.id, strconv.Itoa(r.attempts), strconv.Itoa(r.lost), share100(r.lost, r.attempts)})
	}
	if err := w.WriteAll(table); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}
