package main

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// sheetOf is what the reference proctor writes of a person.
func sheetOf(t testing.TB, id string, seed scenarios.Seed) marked {
	t.Helper()
	h, lines := playedBy(t, id, seed)
	s, err := exercises.Rebuild(h, lines)
	if err != nil {
		t.Fatal(err)
	}
	return marked{handIn: handIn{path: id + " " + strconv.Itoa(int(seed))}, header: h, sheet: readingsOf(s), graded: true}
}

// copied puts so many readings of one sheet, from a place on, into another.
func copied(to, from marked, at, n int) marked {
	s := exercises.State{}
	for i, text := range to.sheet.readings {
		if i >= at && i < at+n && i < len(from.sheet.readings) {
			text = from.sheet.readings[i]
		}
		key, rest, _ := strings.Cut(text, " ")
		place, value, _ := strings.Cut(rest, " ")
		stage, minute, _ := strings.Cut(place, ".")
		x, _ := strconv.Atoi(stage)
		y, _ := strconv.Atoi(minute)
		s.Items = append(s.Items, exercises.Item{Key: exercises.Key(key), Stage: x, Minute: y, Text: value})
	}
	to.sheet = readingsOf(&s)
	return to
}

// A row of readings that was taken over from another person's sheet is named on both, with how many they are and where they begin; fewer than
// eight are not, nor what two students read of the same person.
func TestEqualReadingsInARow(t *testing.T) {
	a, b := sheetOf(t, "uneventful", 1), sheetOf(t, "uneventful", 2)
	for _, c := range []struct {
		at, n int
		want  string
	}{{4, 9, "9 of "}, {0, 8, "8 of "}, {4, 7, ""}, {0, 0, ""}} {
		files := []marked{a, copied(b, a, c.at, c.n)}
		equalReadings(files)
		for i, f := range files {
			switch {
			case c.want == "" && len(f.problems) > 0:
				t.Errorf("%d from %d on: %v", c.n, c.at, f.problems)
			case c.want != "" && (len(f.problems) != 1 || f.problems[0].Kind != "equal-readings" || !strings.HasPrefix(f.problems[0].What, c.want) ||
				!strings.Contains(f.problems[0].What, files[1-i].path)):
				t.Errorf("%d from %d on: %v", c.n, c.at, f.problems)
			}
		}
	}
	same := []marked{a, a}
	equalReadings(same)
	if len(same[0].problems)+len(same[1].problems) > 0 {
		t.Errorf("two sheets of one person are no copies: %v", same[0].problems)
	}
}

// Chance makes no such row: of so many people none has eight readings in a row that are another's. COPIES=2000 plays a large class.
func TestEqualReadingsDoNotHappenByChance(t *testing.T) {
	n, err := strconv.Atoi(os.Getenv("COPIES"))
	if err != nil {
		n = 300
	}
	ids := scenarios.IDs()
	var files []marked
	for i := range n {
		id := ids[i%len(ids)]
		if i%2 == 0 {
			id = "uneventful"
		}
		files = append(files, sheetOf(t, id, scenarios.Seed(1000+i)))
	}
	equalReadings(files)
	long := 0
	for _, f := range files {
		if len(f.sheet.rows) > 0 {
			long++
		}
		for _, p := range f.problems {
			t.Errorf("%s: %s", p.File, p.What)
		}
	}
	if long < n/2 {
		t.Errorf("only %d of %d sheets are long enough", long, n)
	}
}
