package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/unit"
)

// A namedSheet is one row of a class: whose sheet, and what stands on it.
type namedSheet struct {
	name     string // of the sheet: whatever it is called by
	who, key string // of the student, when the file tells
	line     int
	sheet    grader.HandSheet
}

// Bounds of a file of sheets. Source: [CHOICE-PACK].
const (
	mostSheets     = 5000
	mostSheetBytes = 8 << 20
	mostSheetName  = 200 // letters, as in a roster
)

// sheetColumns are the headings of a file of sheets, in the order of the page.
func sheetColumns() []string {
	all := []string{"sheet", "age_y", "sex", "mass_kg", "rest_hr_bpm", "rest_bp_mmhg"}
	for n := 1; n <= mostSheetStages; n++ {
		all = append(all, stageColumns(n)...)
	}
	for _, key := range grader.HandKeys() {
		all = append(all, string(key))
	}
	return all
}

func stageColumns(n int) []string {
	return []string{fmt.Sprintf("stage%d_kgm_min", n), fmt.Sprintf("stage%d_hr_bpm", n), fmt.Sprintf("stage%d_bp_mmhg", n)}
}

// sheetFaults are all faults of a file, each with its line.
type sheetFaults struct {
	file string
	all  []string
}

func (f *sheetFaults) add(line int, format string, args ...any) {
	f.all = append(f.all, fmt.Sprintf("%s:%d: %s", f.file, line, fmt.Sprintf(format, args...)))
}

func (f *sheetFaults) Error() string {
	const most = 40
	if n := len(f.all); n > most {
		return strings.Join(f.all[:most], "\n") + fmt.Sprintf("\n… and %d more", n-most)
	}
	return strings.Join(f.all, "\n")
}

// readSheets reads a CSV with a heading line: sheetColumns in any order, name and key of the student beside them, of which sheet, age_y, sex, mass_kg and the first stage must be there. Commas,
// semicolons or tabs; a byte-order mark does no harm. The error is *sheetFaults: everything that is wrong, each with its line.
func readSheets(file string, data []byte) ([]namedSheet, error) {
	faults := &sheetFaults{file: file}
	if len(data) > mostSheetBytes {
		faults.add(1, "%d bytes: too large for the sheets of a class", len(data))
		return nil, faults
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	data = bytes.ReplaceAll(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	for i, line := range bytes.Split(data, []byte("\n")) {
		if !utf8.Valid(line) || bytes.ContainsRune(line, 0) {
			faults.add(i+1, "this is no text in UTF-8: save the file again as “CSV UTF-8”")
			return nil, faults
		}
	}
	in := csv.NewReader(bytes.NewReader(data))
	in.FieldsPerRecord = -1
	first, _, _ := bytes.Cut(data, []byte("\n"))
	for _, sep := range []string{";", "\t"} {
		if bytes.Count(first, []byte(sep)) > bytes.Count(first, []byte(",")) {
			in.Comma = rune(sep[0])
		}
	}
	head, err := in.Read()
	if err != nil {
		faults.add(1, "no heading line; the first line names the columns: sheet, age_y, sex, mass_kg, stage1_kgm_min, stage1_hr_bpm …")
		return nil, faults
	}
	at := sheetHeading(head, faults)
	if len(faults.all) > 0 {
		return nil, faults
	}
	var all []namedSheet
	lines := map[string]int{}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			faults.add(parse.StartLine, "the quotes do not match")
			continue
		}
		if err != nil {
			return nil, err
		}
		line, _ := in.FieldPos(0)
		if s, ok := sheetOfRow(row, line, len(head), at, faults); ok {
			if before, twice := lines[s.name]; twice {
				faults.add(line, "sheet %s stands on line %d too", inQuotes(s.name), before)
			}
			lines[s.name] = line
			if all = append(all, s); len(all) > mostSheets {
				faults.add(line, "more than %d sheets", mostSheets)
				break
			}
		}
	}
	if len(all) == 0 && len(faults.all) == 0 {
		faults.add(1, "no sheet below the heading")
	}
	if len(faults.all) > 0 {
		return nil, faults
	}
	return all, nil
}

// sheetHeading finds the columns.
func sheetHeading(head []string, faults *sheetFaults) map[string]int {
	at := map[string]int{}
	known := sheetColumns()
	for i, h := range head {
		h = strings.ToLower(strings.TrimSpace(h))
		switch _, twice := at[h]; {
		case h == "":
		case (h == "name" || h == "key") && !twice: // passed on to the result
			at[h] = i
		case !slices.Contains(known, h):
			faults.add(1, "no column is called %s", inQuotes(h))
		case twice:
			faults.add(1, "two columns %s", h)
		default:
			at[h] = i
		}
	}
	for _, must := range []string{"sheet", "age_y", "sex", "mass_kg", "stage1_kgm_min", "stage1_hr_bpm"} {
		if _, ok := at[must]; !ok {
			faults.add(1, "the column %s is missing", must)
		}
	}
	for n := 2; n <= mostSheetStages; n++ {
		c := stageColumns(n)
		_, load := at[c[0]]
		_, rate := at[c[1]]
		if load != rate {
			faults.add(1, "%s and %s go together", c[0], c[1])
		}
	}
	return at
}

// sheetOfRow reads one row; ok is false for a blank one, and for one without a name.
func sheetOfRow(row []string, line, width int, at map[string]int, faults *sheetFaults) (namedSheet, bool) {
	cell := func(column string) string {
		if i, ok := at[column]; ok && i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	if !slices.ContainsFunc(row, func(s string) bool { return strings.TrimSpace(s) != "" }) {
		return namedSheet{}, false
	}
	if len(row) > width {
		faults.add(line, "%d cells, and the heading has %d: is a number with a comma not in quotes?", len(row), width)
		return namedSheet{}, false
	}
	s := namedSheet{name: cell("sheet"), who: cell("name"), key: cell("key"), line: line}
	bad := func(column string, err error) {
		if err != nil {
			faults.add(line, "%s: %v", column, err)
		}
	}
	if s.name == "" {
		bad("sheet", errors.New("whose sheet is it?"))
	}
	for _, column := range []string{"sheet", "name", "key"} {
		if text := cell(column); len([]rune(text)) > mostSheetName || strings.ContainsFunc(text, func(r rune) bool { return !strconv.IsPrint(r) }) {
			bad(column, fmt.Errorf("%s: %d letters at most, all of them printable", inQuotes(text), mostSheetName))
		}
	}
	age, err := within(cell("age_y"), 18, 79, "years") // as in estimate
	bad("age_y", err)
	if s.sheet.Age = int(age); err == nil && float64(s.sheet.Age) != age {
		bad("age_y", fmt.Errorf("%s: whole years", inQuotes(cell("age_y"))))
	}
	if s.sheet.Sex, err = sex(cell("sex")); err != nil {
		bad("sex", fmt.Errorf("%s: M or F", inQuotes(cell("sex"))))
	}
	mass, err := within(cell("mass_kg"), 30, 250, "kg")
	bad("mass_kg", err)
	s.sheet.Mass = unit.Mass(mass)
	if text := cell("rest_hr_bpm"); text != "" {
		hr, err := within(text, leastSheetHR, mostSheetHR, "bpm")
		bad("rest_hr_bpm", err)
		s.sheet.RestHR = unit.HR(hr)
	}
	rest, err := handPressures(cell("rest_bp_mmhg"))
	if bad("rest_bp_mmhg", err); len(rest) > 0 {
		s.sheet.RestBP = rest[len(rest)-1]
	}
	ended := 0 // the first stage that is blank
	for n := 1; n <= mostSheetStages; n++ {
		c := stageColumns(n)
		if cell(c[0]) == "" && cell(c[1]) == "" && cell(c[2]) == "" {
			if ended == 0 {
				ended = n
			}
			continue
		}
		if ended > 0 {
			bad(c[0], fmt.Errorf("stage %d before it is blank", ended))
			ended = 0
		}
		s.sheet.Stages = append(s.sheet.Stages, stageOfRow(cell, c, bad))
	}
	for _, key := range grader.HandKeys() {
		if text := cell(string(key)); text != "" {
			a, err := handAnswer(key, text)
			bad(string(key), err)
			s.sheet.Answers = append(s.sheet.Answers, a)
		}
	}
	bad(string(exercises.KeyPoints), onlyNumbered(s.sheet))
	return s, s.name != ""
}

// stageOfRow reads the cells of one stage.
func stageOfRow(cell func(string) string, c []string, bad func(string, error)) grader.HandStage {
	var s grader.HandStage
	work, err := within(cell(c[0]), 1, mostSheetWork, "kg·m/min")
	bad(c[0], err)
	s.WorkRate = unit.WorkRate(work)
	s.Pulses, err = handPulses(cell(c[1]))
	if bad(c[1], err); err == nil && len(s.Pulses) == 0 {
		bad(c[1], errors.New("no heart rate"))
	}
	s.Pressures, err = handPressures(cell(c[2]))
	bad(c[2], err)
	return s
}
