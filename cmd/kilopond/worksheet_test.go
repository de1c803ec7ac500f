package main

import (
	"bytes"
	"context"
	"reflect"
	"slices"
	"testing"

	"kilopond/cmd/internal/paper"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// The readings that an exam gives come back from the file to be filled in exactly as they were, and the calculation of the reference proctor on them
// is right.
func TestGivenReadingsComeBackAsTheyWere(t *testing.T) {
	book := grader.Default()
	library, err := scenarios.Library()
	if err != nil {
		t.Fatal(err)
	}
	const n = 30
	seats, err := worksheetSeats(context.Background(), exercises.Plan{Mix: scenarios.Teaching, Cases: library}, book, 4, n)
	if err != nil || len(seats) != n {
		t.Fatalf("%d seats, %v", len(seats), err)
	}
	s := paper.Stack{Book: book, Given: true}
	roster := exercises.Roster{Entrants: make([]exercises.Entrant, n)}
	codes, strata := map[string]bool{}, map[scenarios.Stratum]int{}
	for _, x := range seats {
		card, err := grader.NewCard(book, x.one.Draw(x.seed))
		if err != nil {
			t.Fatal(err)
		}
		if codes[x.code] || !x.seed.OfPack() {
			t.Errorf("code %s twice, or seed %d can be typed", x.code, x.seed)
		}
		codes[x.code] = true
		strata[x.one.Stratum()]++
		s.Sheets = append(s.Sheets, paper.Worksheet{Code: x.code, Card: card})
	}
	// Three packs of ten of the teaching mix: 40 % with something to notice, half of these must be stopped or not begun. Source: [CHOICE-CASEMIX].
	want := map[scenarios.Stratum]int{scenarios.Uneventful: 18, scenarios.LookAlike: 6, scenarios.MustStop: 3, scenarios.NotTested: 3}
	if !reflect.DeepEqual(strata, want) {
		t.Errorf("people %v, want %v", strata, want)
	}
	var b bytes.Buffer
	if err := answersCSV(&b, s, roster); err != nil {
		t.Fatal(err)
	}
	back, err := readSheets("answers.csv", b.Bytes())
	if err != nil || len(back) != n {
		t.Fatalf("%d sheets, %v", len(back), err)
	}
	for i, sheet := range back {
		hand := s.Sheets[i].Card.Hand
		if sheet.name != s.Sheets[i].Code || len(sheet.sheet.Stages) != len(hand.Stages) {
			t.Errorf("sheet %d is %s with %d stages, want %s with %d", i, sheet.name, len(sheet.sheet.Stages), s.Sheets[i].Code, len(hand.Stages))
			continue
		}
		for j, st := range hand.Stages {
			st.Pulses = slices.Clone(st.Pulses)
			for k := range st.Pulses { // the rate beside a count is the student's
				if st.Pulses[k].Beats > 0 {
					st.Pulses[k].HR = 0
				}
			}
			if got := sheet.sheet.Stages[j]; !reflect.DeepEqual(got, st) {
				t.Errorf("%s: stage %d comes back as %+v, was %+v", sheet.name, j+1, got, st)
			}
		}
		if v := grader.GradeSheet(book, sheet.sheet); len(hand.Stages) > 0 && !reflect.DeepEqual(v.Worked, s.Sheets[i].Card.Worked) {
			t.Errorf("%s: worked %+v, the key has %+v", sheet.name, v.Worked, s.Sheets[i].Card.Worked)
		}
	}
}

// Sixty worksheets with keys, from the draft to the files' bytes.
func BenchmarkSixtySheetsWithKeys(b *testing.B) {
	for b.Loop() {
		dir := b.TempDir()
		if _, errs, code := kilopond(b, "", "worksheet", "--n", "60", "--seed", "2", "--out", dir+"/s.pdf", "--keys", dir+"/k.pdf"); code != 0 {
			b.Fatal(errs)
		}
	}
}
