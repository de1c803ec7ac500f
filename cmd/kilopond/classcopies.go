package main

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

// How many readings must be equal before chance is left out of it: of whole sheets, and in a row within longer ones, where some must be pressures.
// Source: [CHOICE-EQUAL-READINGS].
const (
	leastReadings  = 6
	rowOfReadings  = 8
	rowOfPressures = 2
)

// A writtenDown is what was written of pulse and pressure.
type writtenDown struct {
	readings []string // in the order of the sheet, each with its place
	stages   []int    // of each
	whole    string   // all of them; "" when they are too few to compare
	rows     []string // in a row, by where the row begins; "" where it has too few pressures
}

// readingsOf reads a sheet.
func readingsOf(s *exercises.State) writtenDown {
	var w writtenDown
	var pressure []int // how many there are up to each
	n := 0
	for _, it := range s.Items {
		if it.Struck || it.Key != exercises.KeyHR && it.Key != exercises.KeyBP {
			continue
		}
		if it.Key == exercises.KeyBP {
			n++
		}
		w.readings = append(w.readings, fmt.Sprintf("%s %d.%d %s", it.Key, it.Stage, it.Minute, strings.TrimSpace(it.Text)))
		w.stages, pressure = append(w.stages, it.Stage), append(pressure, n)
	}
	if len(w.readings) >= leastReadings {
		w.whole = strings.Join(w.readings, "\n")
	}
	for i := 0; i+rowOfReadings <= len(w.readings); i++ {
		before, text := 0, ""
		if i > 0 {
			before = pressure[i-1]
		}
		if pressure[i+rowOfReadings-1]-before >= rowOfPressures {
			text = strings.Join(w.readings[i:i+rowOfReadings], "\n")
		}
		w.rows = append(w.rows, text)
	}
	return w
}

// equalReadings names files whose sheets agree, as a whole or in a row, though the subjects differ.
func equalReadings(files []marked) {
	whole, row := map[string][]int{}, map[string][]int{}
	for i, f := range files {
		if !f.graded {
			continue
		}
		if key := f.sheet.whole; key != "" {
			whole[key] = append(whole[key], i)
		}
		for _, key := range f.sheet.rows {
			if same := row[key]; key != "" && (len(same) == 0 || same[len(same)-1] != i) {
				row[key] = append(same, i)
			}
		}
	}
	differ := func(i, j int) bool {
		a, b := files[i].header, files[j].header
		return a.Case != b.Case || a.Seed != b.Seed
	}
	for i := range files {
		f := &files[i]
		if !f.graded {
			continue
		}
		named := map[int]bool{}
		var others []string
		for _, j := range whole[f.sheet.whole] {
			if differ(i, j) {
				named[j] = true
				others = append(others, files[j].path)
			}
		}
		if len(others) > 0 {
			f.say("equal-readings", 0, "every pulse and pressure on the sheet is as in %s, of another subject; that does not happen by chance: ask", strings.Join(others, ", "))
		}
		begins := map[int][]int{} // of each other file the rows that are equal
		var order []int
		for at, key := range f.sheet.rows {
			for _, j := range row[key] {
				if !named[j] && differ(i, j) {
					if begins[j] == nil {
						order = append(order, j)
					}
					begins[j] = append(begins[j], at)
				}
			}
		}
		for _, j := range order {
			n, until := 0, 0
			for _, at := range begins[j] {
				n += at + rowOfReadings - max(at, until)
				until = at + rowOfReadings
			}
			where := "at rest"
			switch stage := f.sheet.stages[begins[j][0]]; {
			case stage > 0:
				where = fmt.Sprintf("in stage %d", stage)
			case stage == exercises.RecoveryStage:
				where = "in recovery"
			}
			f.say("equal-readings", 0, "%d of %d pulses and pressures on the sheet, from one %s on, are as in %s, of another subject; ask", n, len(f.sheet.readings), where, files[j].path)
		}
	}
}
