package exercises

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// An Entrant is one student of a roster.
type Entrant struct {
	Name       string
	Key        string    // the instructor's own: what the gradebook is keyed by
	Group      string    // section or lab group
	TimeFactor float64   // 1; more for more time; 0: no limit on a sitting
	Extra      int       // attempts above what everybody has
	Until      string    // a day or a time until which this one may work, as written
	End        time.Time // the same as a time, by who knows the zone; zero for the end that everybody has
	Line       int       // in the roster's file
}

// A Roster is who takes part, with what was passed over on reading.
type Roster struct {
	Entrants []Entrant
	KeyFrom  string   // heading of the column that gives the key, as it stands there
	Notes    []string // what was left out or not understood, and is no fault
}

// A RosterFault is one thing wrong in a roster.
type RosterFault struct {
	Line    int // from 1; 0 when the whole file is meant
	Message string
}

// RosterFaults are all faults of one roster.
type RosterFaults struct {
	File   string
	Faults []RosterFault
}

// mostRosterFaults are printed.
const mostRosterFaults = 40

func (f *RosterFaults) Error() string {
	var b strings.Builder
	for i, x := range f.Faults {
		if i > 0 {
			b.WriteByte('\n')
		}
		if i == mostRosterFaults {
			fmt.Fprintf(&b, "… and %d more", len(f.Faults)-mostRosterFaults)
			break
		}
		if x.Line == 0 {
			fmt.Fprintf(&b, "%s: %s", f.File, x.Message)
		} else {
			fmt.Fprintf(&b, "%s:%d: %s", f.File, x.Line, x.Message)
		}
	}
	return b.String()
}

func (f *RosterFaults) add(line int, format string, args ...any) {
	f.Faults = append(f.Faults, RosterFault{line, fmt.Sprintf(format, args...)})
}

// Bounds of a roster. Source: [CHOICE-PACK].
const (
	mostStudents    = 5000
	mostRosterBytes = 8 << 20
	mostCell        = 200
)

// ReadRoster reads a class list: a spreadsheet's CSV (with or without a byte-order mark; commas, semicolons or tabs; names in quotes; headings in
// any of their usual spellings), or users.csv of OneRoster 1.1 or 1.2. keyColumn names the column that the gradebook is keyed by; "" takes the
// likeliest one. The error is *RosterFaults: everything that is wrong, each with its line.
func ReadRoster(file string, data []byte, keyColumn string) (Roster, error) {
	return readRoster(file, data, keyColumn, nil)
}

// readRoster keeps of OneRoster's users those whose sourcedId is wanted; nil wants all.
func readRoster(file string, data []byte, keyColumn string, wanted func(sourcedID string) bool) (Roster, error) {
	faults := &RosterFaults{File: file}
	text, ok := plainText(data, faults)
	if !ok {
		return Roster{}, faults
	}
	skip := 0
	for { // over empty lines, and one that spreadsheets write for one another
		first, rest, found := strings.Cut(text, "\n")
		if !found || strings.Trim(first, " \t,;") != "" && !strings.HasPrefix(strings.ToLower(strings.TrimSpace(first)), "sep=") {
			break
		}
		text, skip = rest, skip+1
	}
	t := &table{faults: faults, skip: skip, in: csv.NewReader(strings.NewReader(text))}
	t.in.Comma = separator(text)
	t.in.FieldsPerRecord = -1
	t.in.TrimLeadingSpace = t.in.Comma != '\t' // with tabs an empty field would go with it
	head, _, err := t.next()
	if err != nil {
		faults.add(0, "the file has no heading line")
		return Roster{}, faults
	}
	var r Roster
	cols := t.columns(head, keyColumn, &r)
	if cols == nil {
		return Roster{}, faults
	}
	rows, others := 0, 0
	if _, ok := cols[sourcedField]; wanted != nil && !ok {
		faults.add(1+t.skip, "not the headings of OneRoster's users.csv; there are: %s", shown(head))
		return Roster{}, faults
	}
	for {
		row, line, err := t.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil && wanted != nil && !wanted(row[min(cols[sourcedField], len(row)-1)]) {
			others++
			continue
		}
		if rows++; rows > mostStudents {
			faults.add(line, "more than %d students: is this the list of a whole school?", mostStudents)
			break
		}
		if err == nil {
			t.entrant(row, line, len(head), cols, &r)
		}
	}
	if others > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d of users.csv are no students of this class", others))
	}
	r.twice(faults)
	if len(r.Entrants) == 0 && len(faults.Faults) == 0 {
		faults.add(0, "no student is named below the heading")
	}
	if len(faults.Faults) > 0 {
		slices.SortStableFunc(faults.Faults, func(a, b RosterFault) int { return a.Line - b.Line })
		return Roster{}, faults
	}
	return r, nil
}

// plainText takes off the byte-order mark and refuses what is not UTF-8, naming the line.
func plainText(data []byte, faults *RosterFaults) (string, bool) {
	switch {
	case len(data) > mostRosterBytes:
		faults.add(0, "%d bytes: too large for a class list", len(data))
		return "", false
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		faults.add(0, "the file is in UTF-16: save it again as “CSV UTF-8”")
		return "", false
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		faults.add(0, "this is a spreadsheet or a zip, not CSV: save it again as “CSV UTF-8”")
		return "", false
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	for i, line := range bytes.Split(data, []byte("\n")) {
		if !utf8.Valid(line) {
			faults.add(i+1, "a letter that is not UTF-8: save the file again as “CSV UTF-8”")
			return "", false
		}
		if bytes.ContainsRune(line, 0) {
			faults.add(i+1, "this is no text")
			return "", false
		}
	}
	return string(data), true
}

// separator is what parts the fields of the first line, outside quotes.
func separator(text string) rune {
	first, _, _ := strings.Cut(text, "\n")
	n := map[rune]int{}
	quoted := false
	for _, r := range first {
		if r == '"' {
			quoted = !quoted
		}
		if !quoted {
			n[r]++
		}
	}
	best := ','
	for _, r := range []rune{';', '\t'} {
		if n[r] > n[best] {
			best = r
		}
	}
	return best
}

// A table reads rows with the lines on which they begin.
type table struct {
	in     *csv.Reader
	faults *RosterFaults
	skip   int // lines before the heading
}

// next returns a row that is not blank. A row that cannot be taken apart is a fault and an error, and reading goes on behind it.
func (t *table) next() ([]string, int, error) {
	for {
		row, err := t.in.Read()
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			t.faults.add(parse.StartLine+t.skip, "the quotes do not match: a quote inside a quoted name is written twice")
			return nil, parse.StartLine + t.skip, err
		}
		if err != nil {
			return nil, 0, err
		}
		line, _ := t.in.FieldPos(0)
		blank := true
		for i := range row {
			row[i] = strings.TrimSpace(strings.ReplaceAll(row[i], "\u00a0", " "))
			blank = blank && row[i] == ""
		}
		if !blank {
			return row, line + t.skip, nil
		}
	}
}

// entrant takes one row.
func (t *table) entrant(row []string, line, width int, cols map[field]int, r *Roster) {
	if len(row) > width {
		for _, extra := range row[width:] {
			if extra != "" {
				t.faults.add(line, "%d fields, and the heading has %d: is a name with a comma not in quotes?", len(row), width)
				return
			}
		}
	}
	at := func(f field) string {
		if i, ok := cols[f]; ok && i < len(row) {
			return row[i]
		}
		return ""
	}
	if why := passedOver(at); why != "" {
		r.Notes = append(r.Notes, fmt.Sprintf("line %d: %s is left out: %s", line, cut(fullName(at)), why))
		return
	}
	e := Entrant{Name: fullName(at), Key: at(keyField), Group: at(groupField), TimeFactor: 1, Until: at(untilField), Line: line}
	if e.Name == "" {
		t.faults.add(line, "the name is empty")
	}
	if e.Key == "" {
		t.faults.add(line, "the key (%s) is empty", r.KeyFrom)
	}
	for _, x := range []struct{ what, text string }{{"name", e.Name}, {"key", e.Key}, {"group", e.Group}} {
		if !printable(x.text) {
			t.faults.add(line, "the %s holds a sign that cannot be printed: %s", x.what, cut(x.text))
		} else if utf8.RuneCountInString(x.text) > mostCell {
			t.faults.add(line, "the %s has more than %d signs", x.what, mostCell)
		}
	}
	var err error
	if e.TimeFactor, err = timeFactor(at(timeField)); err != nil {
		t.faults.add(line, "%v", err)
	}
	if text := at(extraField); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 || n > mostAttempts {
			t.faults.add(line, "extra attempts %s: a whole number from 0 to %d", cut(text), mostAttempts)
		}
		e.Extra = n
	}
	r.Entrants = append(r.Entrants, e)
}

// timeFactor reads 1.25, 1,25, 125 %, or none.
func timeFactor(text string) (float64, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	switch text {
	case "":
		return 1, nil
	case "none", "no limit", "unlimited":
		return 0, nil
	}
	number, percent := strings.CutSuffix(text, "%")
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(number), ",", ".", 1), 64)
	if percent {
		x /= 100
	}
	if err != nil || !(x >= 1 && x <= mostFactor) {
		return 1, fmt.Errorf("time factor %s: 1 to %d (1.25 is a quarter more), or none for no limit", cut(text), mostFactor)
	}
	return x, nil
}

// twice finds keys that occur more than once, small and capital letters alike.
func (r *Roster) twice(faults *RosterFaults) {
	first := map[string]Entrant{}
	names := map[string]int{}
	for _, e := range r.Entrants {
		if e.Key != "" {
			key := strings.ToLower(e.Key)
			if before, ok := first[key]; ok {
				faults.add(e.Line, "the key %s is that of line %d too (%s)", cut(e.Key), before.Line, cut(before.Name))
			} else {
				first[key] = e
			}
		}
		if line, ok := names[e.Name]; ok && e.Name != "" {
			r.Notes = append(r.Notes, fmt.Sprintf("line %d: %s is a name of line %d too; the keys tell them apart", e.Line, cut(e.Name), line))
		} else {
			names[e.Name] = e.Line
		}
	}
}

// cut shows a value inside a message.
func cut(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		text = string(r[:most]) + "…"
	}
	if text == "" || !printable(text) {
		return strconv.Quote(text)
	}
	return text
}
