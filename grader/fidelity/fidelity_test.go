package fidelity

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"
)

// Every row has its measure and every measure its row; each measure's study exists and is used.
func TestTableAndMeasuresBelongTogether(t *testing.T) {
	var rows, read, run, used []string
	for _, p := range Table() {
		rows = append(rows, p.ID)
		if p.Quantity == "" || p.Population == "" || p.Source == "" || p.HowKnown == "" {
			t.Errorf("row %s: something is empty", p.ID)
		}
	}
	for _, m := range measures() {
		read, used = append(read, m.id), append(used, m.study)
	}
	for _, s := range studies() {
		run = append(run, s.name)
		if s.quick >= s.people || s.quick < groups {
			t.Errorf("study %s: %d people, %d when quick", s.name, s.people, s.quick)
		}
	}
	same := func(what string, a, b []string) {
		a, b = slices.Compact(slices.Sorted(slices.Values(a))), slices.Compact(slices.Sorted(slices.Values(b)))
		if !slices.Equal(a, b) {
			t.Errorf("%s: %v and %v", what, a, b)
		}
	}
	same("rows and measures", rows, read)
	same("studies and those that are read", run, used)
	if len(rows) != len(measures()) || len(mustRead("fidelity.csv", given)) != 60 {
		t.Errorf("%d rows, %d measures, %d rows given", len(rows), len(measures()), len(mustRead("fidelity.csv", given)))
	}
}

// missing are the rows that do not hold, each with the reason in Note; .ci/test names the same.
var missing = []string{"B21", "C18", "C20", "C22", "E05", "R17"}

func TestRowsAgainstPublishedStatistics(t *testing.T) {
	rows, err := Run(t.Context(), Options{Seed: 1, Quick: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		t.Logf("%s %.4g (%.4g to %.4g), published %.4g, band %.4g to %.4g", r.ID, r.Simulated, r.CILow, r.CIHigh, r.Published, r.Low, r.High)
		chance := r.CILow <= r.Low && r.Low <= r.CIHigh || r.CILow <= r.High && r.High <= r.CIHigh // the few people of a quick run decide
		if !chance && r.Holds == slices.Contains(missing, r.ID) {
			t.Errorf("%s holds: %v. %s", r.ID, r.Holds, Note(r))
		}
		if !r.Holds && known[r.ID] == "" {
			t.Errorf("%s does not hold, and nobody says why", r.ID)
		}
		if !(r.CILow <= r.Simulated && r.Simulated <= r.CIHigh) || r.N < groups {
			t.Errorf("%s: %v outside its own interval %v to %v of %d", r.ID, r.Simulated, r.CILow, r.CIHigh, r.N)
		}
	}
	if _, err := json.Marshal(rows); err != nil {
		t.Error(err)
	}
}

func TestRunDoesNotDependOnCores(t *testing.T) {
	run := func(cores int) []Row {
		before := runtime.GOMAXPROCS(cores)
		defer runtime.GOMAXPROCS(before)
		rows, err := Run(t.Context(), Options{Seed: 3, Quick: true, Rows: []string{"C08", "T02", "A01"}})
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	one := run(1)
	if !reflect.DeepEqual(one, run(4)) {
		t.Error("other numbers on other cores")
	}
	if len(one) != 3 || one[0].ID != "A01" {
		t.Errorf("%d rows, the first %s", len(one), one[0].ID)
	}
	var none *NoRow
	if _, err := Run(t.Context(), Options{Rows: []string{"C8"}}); !errors.As(err, &none) || none.Near != "C08" {
		t.Errorf("row C8: %v", err)
	}
}

// The jackknife interval of a mean is the classic one, and those of a median and an SD cover what is true about 95 times in 100.
func TestIntervalIsHonest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	covered := map[string]int{}
	const samples = 600
	for range samples {
		var all []record
		for range 400 {
			all = append(all, record{r.NormFloat64()})
		}
		for name, c := range map[string]struct {
			value func([]record) float64
			truth float64
		}{"mean": {mean(0, nil), 0}, "median": {median(0, nil), 0}, "SD": {sd(0, nil), 1}} {
			if _, low, high := interval(all, c.value); low <= c.truth && c.truth <= high {
				covered[name]++
			}
		}
	}
	for name, n := range covered {
		if share := float64(n) / samples; math.Abs(share-0.95) > 0.036 { // four SDs
			t.Errorf("the interval of the %s covers %.3f", name, share)
		}
	}
	if len(covered) != 3 {
		t.Errorf("covered: %v", covered)
	}
}

// A table that ships must read; one that is wrong says where.
func TestReadRefuses(t *testing.T) {
	head := "id,quantity,population,unit,expected,low,high,source,how_known\n"
	for _, bad := range []string{"X,a,b,c,1,2,x,s,h\n", "X,a,b,c,1,2,1,s,h\n", "X,a\n"} {
		if _, err := read(head + bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

func TestNoteSaysByHowMuch(t *testing.T) {
	if n := Note(Row{Simulated: 12, Low: 8, High: 10}); n != "12 lies 2 above the band." {
		t.Error(n)
	}
	if n := Note(Row{Simulated: 9, Low: 8, High: 10, Holds: true}); n != "" {
		t.Error(n)
	}
}
