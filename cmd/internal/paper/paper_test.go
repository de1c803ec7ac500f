package paper

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

func report(t testing.TB, id string, seed scenarios.Seed, sets ...string) grader.Report {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	played, err := grader.Play(grader.Default(), c.Draw(seed))
	if err != nil {
		t.Fatal(err)
	}
	b := grader.Default()
	if err := b.SetAll(sets); err != nil {
		t.Fatal(err)
	}
	course := grader.ReadState(b, played.Session.State())
	return grader.Grade(b, course).WithSplit(b, course, played.Session)
}

// faulty are rules under which the reference proctor's usual test is full of mistakes.
var faulty = []string{"max_hr=208-0.7age", "count.begin_before_s=5", "pressure.from_s=170", "stop.look_every_s=20", "warm_up_s=600", "cool_down.watch_s=900"}

func printed(t testing.TB, r grader.Report, size string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, render.OutlineOf(r), size); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var (
	streams = regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`)
	shown   = regexp.MustCompile(`(?s)\(((?:\\.|[^\\()])*)\) ?Tj`)
)

// words reads what a reader would select on all pages: the strings that are shown, from UTF-16, in order.
func words(t *testing.T, pdf []byte) string {
	t.Helper()
	var b strings.Builder
	for _, m := range streams.FindAllSubmatch(pdf, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue // not packed: no page
		}
		page, err := io.ReadAll(z)
		if err != nil {
			continue
		}
		for _, s := range shown.FindAllSubmatch(page, -1) {
			raw := []byte(strings.NewReplacer(`\\`, `\`, `\(`, `(`, `\)`, `)`, `\r`, "\r").Replace(string(s[1])))
			var u []uint16
			for i := 0; i+1 < len(raw); i += 2 {
				u = append(u, uint16(raw[i])<<8|uint16(raw[i+1]))
			}
			b.WriteString(string(utf16.Decode(u)) + "\n")
		}
	}
	return b.String()
}

func TestPaperHoldsTheWholeReport(t *testing.T) {
	r := report(t, "uneventful", 3, faulty...)
	if len(r.Findings) < 4 {
		t.Fatalf("only %d findings", len(r.Findings))
	}
	text := words(t, printed(t, r, "a4"))
	flat := strings.Join(strings.Fields(text), " ")
	o := render.OutlineOf(r)
	for _, s := range o.Sections {
		if !strings.Contains(text, s.Title+"\n") {
			t.Errorf("no heading %q", s.Title)
		}
		for _, b := range s.Blocks {
			switch b := b.(type) {
			case render.Group:
				for _, f := range b.Items {
					if want := strconv.Itoa(f.Number) + "   " + f.Part + ", " + f.Where + "\n"; !strings.Contains(text, want) {
						t.Errorf("no finding %q", want)
					}
				}
			case render.Steps:
				for _, step := range b.Items {
					if !strings.Contains(flat, strings.Join(strings.Fields(step), " ")) {
						t.Errorf("no step %q", step)
					}
				}
			case render.Choices:
				for _, c := range b.Items {
					if !strings.Contains(text, c.Command+"\n") {
						t.Errorf("no command %q", c.Command)
					}
				}
			case render.Drawn:
				if !strings.Contains(flat, strings.Join(strings.Fields(b.Drawing.Text()), " ")[:300]) {
					t.Errorf("the picture %s is not told in words", b.Drawing.Name())
				}
			}
		}
	}
	n := 0
	for _, line := range strings.Split(text, "\n") {
		if m := regexp.MustCompile(`^(\d+) of (\d+)$`).FindStringSubmatch(line); m != nil {
			n++
			if m[1] != strconv.Itoa(n) {
				t.Errorf("page %d is numbered %s", n, m[1])
			}
		}
	}
	if !strings.Contains(text, strconv.Itoa(n)+" of "+strconv.Itoa(n)) || n < 4 {
		t.Errorf("%d pages, and the last does not say so", n)
	}
	if got := strings.Count(flat, o.Caution[:60]); got != n {
		t.Errorf("the caution stands on %d of %d pages", got, n)
	}
}

func TestPaperIsTheSameEachTime(t *testing.T) {
	r := report(t, "friday-nine", 2)
	for size, box := range map[string]string{"a4": "/MediaBox [0 0 595.28 841.89]", "letter": "/MediaBox [0 0 612.00 792.00]"} {
		one, two := printed(t, r, size), printed(t, r, size)
		if !bytes.Equal(one, two) {
			t.Errorf("%s: one report gives two files", size)
		}
		if !bytes.Contains(one, []byte(box)) {
			t.Errorf("%s: no page of %s", size, box)
		}
		if !bytes.Contains(one, []byte("/CreationDate (D:19700101000000")) || !bytes.Contains(one, []byte("/ModDate (D:19700101000000")) {
			t.Errorf("%s: a time is in it", size)
		}
		if bytes.Contains(one, []byte("/BaseFont /Helvetica")) || bytes.Count(one, []byte("/FontFile2")) != 3 {
			t.Errorf("%s: %d typefaces are embedded", size, bytes.Count(one, []byte("/FontFile2")))
		}
	}
	if err := Write(io.Discard, render.OutlineOf(r), "foolscap"); err == nil {
		t.Error("any paper will do")
	}
}

// What the typefaces lack becomes a box, what would stand outside the page is broken, and nothing fails.
func TestOddTextOnPaper(t *testing.T) {
	odd := "😀\x00\x1b[31m\ue000 漢字 שלום (a\\b) " + strings.Repeat("longword", 60) + " e\u0301 \U0010ffff \u2028 {nb}"
	r := report(t, "uneventful", 3, faulty...)
	r.Subject.Name, r.Case = odd, odd
	r.Student.Rating, r.Student.Points = odd, odd
	r.Good, r.Notes = []string{odd}, []string{odd}
	r.Sheet = []grader.SheetEntry{{Number: 1, Key: exercises.KeySymptoms, Text: odd, Struck: true}, {Number: 2, Key: exercises.KeyReason, Text: strings.Repeat(odd, 20)}}
	for i := range r.Findings {
		r.Findings[i].Did, r.Findings[i].Where = odd, odd
	}
	for i := range r.Timeline {
		r.Timeline[i].Seen = odd
	}
	r.Record.Signs = []grader.Presence{{Sign: odd, FromS: 0, ToS: 9000}}
	text := words(t, printed(t, r, "letter"))
	if !strings.Contains(text, "□") || strings.Contains(text, "漢") || !strings.Contains(text, `(a\b)`) || !strings.Contains(text, "{nb}") {
		t.Errorf("odd letters: %.200q", text)
	}
	if strings.Contains(text, "\x1b") {
		t.Error("a control character reached the paper")
	}
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > 160 {
			t.Errorf("a line of %d letters", len([]rune(line)))
		}
	}
}

func BenchmarkPaper(b *testing.B) {
	r := report(b, "uneventful", 3, faulty...)
	for b.Loop() {
		printed(b, r, "a4")
	}
}
