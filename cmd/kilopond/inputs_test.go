package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"unicode"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/stats"
	"kilopond/scenarios"
)

// refusedInWords looks at what a person reads of a fault: words, and a hint; nothing that could turn a terminal about.
func refusedInWords(t *testing.T, err error) {
	t.Helper()
	var u *usageError
	var h *hinted
	hint := ""
	switch {
	case errors.As(err, &u):
		hint = u.hint
	case errors.As(err, &h):
		hint = h.hint
	}
	if text := told(err); text == "" || hint == "" || strings.ContainsFunc(text, func(r rune) bool { return r != '\n' && r != '\t' && !unicode.IsGraphic(r) }) {
		t.Fatalf("%q, hint %q", text, hint)
	}
}

// Whatever stands in a file of pairs: pairs of ordinary numbers that can be compared and written down, or every fault in words.
func FuzzPairs(f *testing.F) {
	for _, s := range []string{"first,second\n112,116\n120,118\n", "\ufeffa;b\r\n3,5;4\r\n-1;1e3\r\n", "1,2", "1,2,3\n", "\"1,2\n", "x,y\nz,w\n", "1e12,1\n1,1e12\n", "\xff\xfe1", ",\n", "0,0\n0,0\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		first, second, err := readPairs(bytes.NewReader(data), "-")
		if err != nil {
			refusedInWords(t, err)
			return
		}
		if len(first) == 0 || len(first) != len(second) {
			t.Fatalf("%d and %d readings", len(first), len(second))
		}
		if _, err := json.Marshal(stats.Agree(first, second)); err != nil { // what is no number cannot be written
			t.Fatalf("%v and %v: %v", first, second, err)
		}
	})
}

// Whatever stands in a list of receipts: whose, and a receipt that can be read again, or every fault in words.
func FuzzReceipts(f *testing.F) {
	r := string(exercises.ReceiptOf(exercises.Sum([]byte("a line"))))
	for _, s := range []string{"key,receipt\ns01," + r + "\n", "\ufeffkey;receipt\r\ns01;" + r + "\r\n", "s01," + r, "s01\n", ",," + r, "\"", "s01,1234 5678 9012\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		all, err := parseReceipts("r.csv", data)
		if err != nil {
			refusedInWords(t, err)
			return
		}
		for _, x := range all {
			if again, err := exercises.ParseReceipt(string(x.receipt)); x.who == "" || x.line < 1 || err != nil || again != x.receipt {
				t.Fatalf("%+v, %v", x, err)
			}
		}
	})
}

// Whatever stands behind --profile: parts of whole seconds and bearable work, or the part that is wrong in words.
func FuzzProfile(f *testing.F) {
	for _, s := range []string{"150x3,450x3,0x5", "restx5,90%x4", "150x-3", "x", ",", "1e3x1e2", "NaNx3", "400%x3", "150x0.001", " 150x3 ", "150×3", "0x10x3", strings.Repeat("0x1,", 201)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		bouts, err := parseProfile(text)
		if err != nil {
			refusedInWords(t, err)
			return
		}
		if len(bouts) == 0 || len(bouts) > mostBouts {
			t.Fatalf("%d parts", len(bouts))
		}
		for _, b := range bouts {
			if b.seconds < 1 || b.seconds > 60*longestBoutMin || !(b.work >= 0 && b.work <= hardestKgm) || !(b.percent >= 0 && b.percent <= 150) || b.rest && (b.work != 0 || b.percent != 0) ||
				math.IsNaN(float64(b.work)) {
				t.Fatalf("%+v", b)
			}
		}
	})
}

// Whatever stands in the board's file: settings that can be kept, or every fault in words.
func FuzzBoardSettings(f *testing.F) {
	for _, s := range []string{"on: true\npeople:\n  - {student: s07, alias: Quiet Heron}\n", "on: yes\n", "least_attempts: 010\n", "people: [{student: a, alias: a}, {student: a, alias: \"\\e\"}]\n", "a: &a [*a]\n", "most_false_stops_percent: .nan\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := decodeBoardSettings("board.yaml", data)
		if err != nil {
			refusedInWords(t, err)
			return
		}
		if s.LeastAttempts < 2 || s.LeastPeople < 1 || !(s.MostFalse >= 0 && s.MostFalse <= 100) {
			t.Fatalf("%+v", s)
		}
		aliases := map[string]bool{}
		for _, p := range s.People {
			if p.Student == "" || strings.TrimSpace(p.Alias) == "" || aliases[strings.ToLower(p.Alias)] {
				t.Fatalf("%+v", s)
			}
			aliases[strings.ToLower(p.Alias)] = true
		}
	})
}

// Whatever the first line of an attempt says or leaves out: there is a report that can be written, or a fault in words.
func FuzzAttemptHeader(f *testing.F) {
	c, err := scenarios.Load("tuesday-noon")
	if err != nil {
		f.Fatal(err)
	}
	sc, b := c.Draw(1), grader.Default()
	s := exercises.Begin(exercises.NewHeader(sc, b.JSON(), b.Hash(), "drill", false), sc)
	var lines []exercises.Line
	for _, do := range []exercises.Command{{Act: exercises.Greet}, {Act: exercises.Look}, {Act: exercises.Decide, What: "refuse"}, {Act: exercises.Release}, {Act: exercises.HandIn}} {
		l, err := s.Do(do)
		if err != nil {
			f.Fatal(err)
		}
		lines = append(lines, l)
	}
	raw, err := exercises.EncodeHeader(s.State().Header)
	if err != nil {
		f.Fatal(err)
	}
	whole := string(raw)
	f.Add(whole)
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(raw, &parts); err != nil {
		f.Fatal(err)
	}
	for name := range parts { // without it, and with nothing in it
		for _, with := range []string{"", "null", `""`, "0", "{}", "[]", "-1"} {
			some := map[string]json.RawMessage{}
			for k, v := range parts {
				some[k] = v
			}
			if some[name] = json.RawMessage(with); with == "" {
				delete(some, name)
			}
			line, err := json.Marshal(some)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(line))
		}
	}
	f.Add(strings.Replace(whole, `"model":1`, `"model":2`, 1))
	f.Add(strings.Replace(whole, `"mode":"drill"`, `"mode":"live","coached":true,"redo":{"of":"x","at_s":3},"pack":{}`, 1))
	f.Fuzz(func(t *testing.T, header string) {
		if strings.Contains(header, "\n") {
			return
		}
		file, prev := []byte(header+"\n"), exercises.Sum([]byte(header))
		for _, l := range lines {
			l.Prev = prev
			row, err := exercises.EncodeLine(l)
			if err != nil {
				t.Fatal(err)
			}
			file, prev = append(append(file, row...), '\n'), exercises.Sum(row)
		}
		a := exercises.Read(file)
		if a.Damage != nil {
			if a.Damage.Line != 1 || a.Damage.Why == "" {
				t.Fatalf("%+v", a.Damage)
			}
			return
		}
		b, err := keptRules(a.Header)
		if err != nil {
			refusedInWords(t, err)
			return
		}
		played, err := playedAgain(caseShelf{}, a)
		if err != nil {
			return // of another seed: verify names the line
		}
		course, err := grader.Read(a.Header, a.Lines)
		if err != nil {
			t.Fatal(err)
		}
		r := grader.Grade(b, course).WithSplit(b, course, played)
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		if err := render.WriteOutline(io.Discard, render.OutlineOf(r)); err != nil {
			t.Fatal(err)
		}
	})
}
