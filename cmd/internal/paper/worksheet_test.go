package paper

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/scenarios"
)

func stackOf(t testing.TB, size string, given bool, ids ...string) Stack {
	t.Helper()
	b := grader.Default()
	s := Stack{Title: "Lab of an invented course", Caution: render.Caution, Size: size, Book: b, Given: given}
	for i, id := range ids {
		c, err := scenarios.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		k, err := grader.NewCard(b, c.Draw(scenarios.Seed(i)))
		if err != nil {
			t.Fatal(err)
		}
		s.Sheets = append(s.Sheets, Worksheet{Code: fmt.Sprintf("AB%02d", i), Student: fmt.Sprintf("Student %d", i), Group: "B", Card: k})
	}
	return s
}

// everyCase is a stack with a person of each case in the library: played once, and only looked at.
var everyCase Stack

func everybody(t *testing.T) Stack {
	if len(everyCase.Sheets) == 0 {
		everyCase = stackOf(t, "letter", false, scenarios.IDs()...)
	}
	return everyCase
}

func stacked(t testing.TB, s Stack) (sheets, keys []byte) {
	t.Helper()
	var a, b bytes.Buffer
	if err := WriteWorksheets(&a, s); err != nil {
		t.Fatal(err)
	}
	if err := WriteKeys(&b, s); err != nil {
		t.Fatal(err)
	}
	return a.Bytes(), b.Bytes()
}

// mixed are cases of all kinds: one that runs to the end, one that must be stopped, one that must not begin.
var mixed = []string{"uneventful", "friday-nine", "tuesday-noon"}

func TestWorksheetsAndKeysMatchByCode(t *testing.T) {
	for _, size := range Sizes() {
		s := stackOf(t, size, false, mixed...)
		sheets, keys := stacked(t, s)
		again, keysAgain := stacked(t, s)
		if !bytes.Equal(sheets, again) || !bytes.Equal(keys, keysAgain) {
			t.Errorf("%s: one stack gives two files", size)
		}
		text, answers := words(t, sheets), words(t, keys)
		flat := strings.Join(strings.Fields(text), " ")
		for _, w := range s.Sheets {
			for _, want := range []string{w.Code + " · data sheet\n", w.Code + " · calculation\n", w.Code + " · partner’s card\n"} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: no page %q", size, want)
				}
			}
			if !strings.Contains(answers, w.Code+" · key\n") {
				t.Errorf("%s: no key of %s", size, w.Code)
			}
			k := w.Card
			for _, step := range k.Worked.Steps {
				if len(k.Stages) > 0 && !strings.Contains(strings.Join(strings.Fields(answers), " "), strings.Join(strings.Fields(step), " ")) {
					t.Errorf("%s: the key of %s lacks %q", size, w.Code, step)
				}
			}
			for _, h := range k.Scenario.Health {
				if !strings.Contains(flat, strings.Join(strings.Fields("“"+h.Says+"”"), " ")) {
					t.Errorf("%s: the card of %s does not say %q", size, w.Code, h.Says)
				}
			}
			if strings.Contains(text, k.Scenario.Case.ID) || strings.Contains(text, k.Scenario.Case.Spoiler) {
				t.Errorf("%s: the sheets tell the case of %s", size, w.Code)
			}
		}
		pages := bytes.Count(sheets, []byte("/Type /Page\n"))
		if got := strings.Count(flat, render.Caution[:60]); got != pages || pages%2 != 0 {
			t.Errorf("%s: the caution stands on %d of %d pages", size, got, pages)
		}
		for _, r := range grader.Rules() {
			if strings.Count(flat, " "+strings.Join(strings.Fields(r.Asks), " ")+" ") != 1 {
				t.Errorf("%s: the checklist does not hold %s once", size, r.Name)
			}
		}
		if bytes.Count(sheets, []byte("/FontFile2")) != 3 || bytes.Contains(sheets, []byte("/BaseFont /Helvetica")) {
			t.Errorf("%s: not all typefaces are embedded", size)
		}
	}
}

// With given readings the sheet tells what was counted and read, and nothing of what follows from it; there are no cards.
func TestGivenReadings(t *testing.T) {
	s := stackOf(t, "letter", true, mixed...)
	sheets, _ := stacked(t, s)
	text := words(t, sheets)
	if got, want := bytes.Count(sheets, []byte("/Type /Page\n")), 2*len(mixed); got != want {
		t.Errorf("%d pages for %d sheets, want %d", got, len(mixed), want)
	}
	for _, never := range []string{"Partner’s card", "Crew cards", "checklist", "unasked"} {
		if strings.Contains(text, never) {
			t.Errorf("%q is on an exam's sheet", never)
		}
	}
	lines := strings.Split(text, "\n")
	for _, w := range s.Sheets {
		for _, st := range w.Card.Stages {
			for _, m := range st.Minutes {
				if m.Beats > 0 && !slices.Contains(lines, fmt.Sprint(m.Beats)) {
					t.Errorf("%s: no count of %d beats", w.Code, m.Beats)
				}
			}
		}
		if w.Card.Worked.Estimable && strings.Contains(text, fmt.Sprintf("%.1f", w.Card.Worked.VO2Rel)) {
			t.Errorf("%s: the answer is on the sheet", w.Code)
		}
	}
}

// Each side of a sheet stays on its page, whatever the case says and whatever the paper.
func TestSheetsStayOnTheirPages(t *testing.T) {
	s := everybody(t)
	for _, given := range []bool{false, true} {
		s.Given = given
		for _, size := range Sizes() {
			f, err := emptyFolio(size, "", "")
			if err != nil {
				t.Fatal(err)
			}
			for i, w := range s.Sheets {
				f.dataSheet(s, w)
				if f.pdf.PageNo() != 2*i+1 || f.y > f.h-bottom {
					t.Errorf("%s, given %v: the data sheet of %s ends at %.0f of %.0f on page %d", size, given, w.Card.Scenario.Case.ID, f.y, f.h-bottom, f.pdf.PageNo())
				}
				f.calculationPage(s, w)
				if f.pdf.PageNo() != 2*i+2 || f.y > f.h-bottom {
					t.Errorf("%s, given %v: the calculation of %s ends at %.0f of %.0f on page %d", size, given, w.Card.Scenario.Case.ID, f.y, f.h-bottom, f.pdf.PageNo())
				}
			}
		}
	}
}

// Sixty worksheets with their keys: the paper alone.
func BenchmarkSixtyWorksheets(b *testing.B) {
	ids := scenarios.IDs()
	var sixty []string
	for i := range 60 {
		sixty = append(sixty, ids[i%len(ids)])
	}
	for b.Loop() {
		stacked(b, stackOf(b, "a4", false, sixty...))
	}
}
