package page

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// report is a whole test by the reference proctor, judged under other rules than it was done by, so that there is something to find.
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
var faulty = []string{"max_hr=208-0.7age", "count.begin_before_s=5", "pressure.from_s=170", "stop.look_every_s=20", "warm_up_s=600", "cool_down.watch_s=900", "cool_down.max_resistance_kp=0.2", "ceiling.fraction=0.7"}

func page(t testing.TB, r grader.Report) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, render.OutlineOf(r)); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func parsed(t *testing.T, text string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// words is all text within an element.
func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// elements are those of a name.
func elements(root *html.Node, names ...string) []*html.Node {
	var list []*html.Node
	for d := range root.Descendants() {
		for _, name := range names {
			if d.Type == html.ElementNode && d.Data == name {
				list = append(list, d)
			}
		}
	}
	return list
}

func TestPageStandsAlone(t *testing.T) {
	outside := regexp.MustCompile(`(?i)(https?:)?//[a-z0-9]`)
	for _, r := range []grader.Report{
		report(t, "uneventful", 7), report(t, "uneventful", 3, faulty...), report(t, "tuesday-noon", 1), report(t, "friday-nine", 2, faulty...),
	} {
		text := page(t, r)
		if len(text) > 400_000 {
			t.Errorf("%s: %d bytes", r.Case, len(text))
		}
		root := parsed(t, text)
		if got := attr(elements(root, "html")[0], "lang"); got != "en" {
			t.Errorf("language %q", got)
		}
		ids := map[string]bool{}
		for d := range root.Descendants() {
			for _, a := range d.Attr {
				switch {
				case a.Key == "id":
					if ids[a.Val] {
						t.Errorf("id %q stands twice", a.Val)
					}
					ids[a.Val] = true
				case strings.HasPrefix(a.Key, "on"), a.Key == "src", a.Key == "srcset", a.Key == "style":
					t.Errorf("<%s %s=%q>", d.Data, a.Key, a.Val)
				case (a.Key == "href" || a.Key == "action" || a.Key == "data") && !strings.HasPrefix(a.Val, "#"):
					t.Errorf("<%s %s=%q> leads outside", d.Data, a.Key, a.Val)
				}
			}
		}
		for _, a := range elements(root, "a") {
			if to := strings.TrimPrefix(attr(a, "href"), "#"); !ids[to] {
				t.Errorf("link to %q, which is not there", to)
			}
		}
		if meta := elements(root, "meta"); !slices.ContainsFunc(meta, func(n *html.Node) bool {
			return attr(n, "http-equiv") == "Content-Security-Policy" && strings.HasPrefix(attr(n, "content"), "default-src 'none'")
		}) {
			t.Error("no rule that a browser asks for nothing")
		}
		if n := len(elements(root, "script", "link", "iframe", "object", "embed", "img", "base", "form")); n > 0 {
			t.Errorf("%d elements that could ask for something outside", n)
		}
		style := words(elements(root, "style")[0])
		if strings.Contains(style, "@import") || strings.Contains(style, "url(") || outside.MatchString(style) {
			t.Error("the style asks for something outside")
		}
		for _, th := range elements(root, "th") {
			if s := attr(th, "scope"); s != "row" && s != "col" {
				t.Errorf("th %q has scope %q", words(th), s)
			}
		}
		level := 0
		for _, h := range elements(root, "h1", "h2", "h3", "h4", "h5", "h6") {
			n, _ := strconv.Atoi(h.Data[1:])
			if n > level+1 || strings.TrimSpace(words(h)) == "" {
				t.Errorf("heading %q of level %d after level %d", words(h), n, level)
			}
			level = n
		}
	}
}

// Every picture has a name and a paragraph that says what it shows, and the numbers of the report are in that paragraph.
func TestPicturesAreInWords(t *testing.T) {
	r := report(t, "uneventful", 7)
	root := parsed(t, page(t, r))
	pictures := elements(root, "svg")
	if len(pictures) != 3 {
		t.Fatalf("%d pictures, want the course, the line and what T is made of", len(pictures))
	}
	byID := map[string]string{}
	for d := range root.Descendants() {
		if id := attr(d, "id"); id != "" {
			byID[id] = words(d)
		}
	}
	said := ""
	for _, p := range pictures {
		if attr(p, "role") != "img" {
			t.Error("a picture without its role")
		}
		for _, id := range []string{attr(p, "aria-labelledby"), attr(p, "aria-describedby")} {
			if len(byID[id]) < 10 {
				t.Errorf("%s says %q", id, byID[id])
			}
			said += byID[id]
		}
	}
	for _, p := range r.Record.Pulses {
		if p.Felt != nil && !strings.Contains(said, strconv.FormatFloat(*p.Felt, 'f', -1, 64)) {
			t.Errorf("a pulse of %v is in no words", *p.Felt)
		}
	}
	for _, p := range r.Record.Pressures {
		if want := fmt.Sprintf("%.0f/%.0f", *p.Systolic, *p.Diastolic); !strings.Contains(said, want) {
			t.Errorf("the pressure %s is in no words", want)
		}
	}
	if want := fmt.Sprintf("%.0f kg·m/min", float64(r.Worked.MaxWorkRate)); !strings.Contains(said, want) {
		t.Errorf("the line's end %s is in no words: %s", want, said)
	}
}

// What somebody wrote is shown, and never taken for markup.
func TestHostileTextIsShown(t *testing.T) {
	const evil = `</title></style></svg><script>alert(1)</script><img src=https://example.org/x onerror="alert(2)">'"{{.}}`
	r := report(t, "uneventful", 3, faulty...)
	r.Subject.Name, r.Subject.Work, r.Case = evil, evil, evil
	r.Student.Points, r.Student.Rating, r.Student.NoEstimate = evil, evil, evil
	r.Good, r.Notes, r.Gate = []string{evil}, []string{evil}, []string{evil}
	r.Sheet = []grader.SheetEntry{{Number: 1, Key: exercises.KeySymptoms, Text: evil, Struck: true}, {Number: 2, Key: exercises.KeyReason, Text: evil}}
	for i := range r.Timeline {
		r.Timeline[i].Seen, r.Timeline[i].Kind = evil, grader.KindSaid
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		f.Known, f.Did, f.Should, f.Why, f.Where, f.Rule, f.Sources = evil, evil, evil, evil, evil, evil, []string{evil}
	}
	r.Record.Signs = []grader.Presence{{Sign: evil, FromS: 100, ToS: 900}}
	for i := range r.Worked.Points {
		r.Worked.Points[i].Why = evil
	}
	if len(r.Findings) < 4 {
		t.Fatalf("only %d findings to try", len(r.Findings))
	}
	root := parsed(t, page(t, r))
	if n := len(elements(root, "script", "img")); n != 0 {
		t.Errorf("%d elements grew out of text", n)
	}
	for d := range root.Descendants() {
		for _, a := range d.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "href" && !strings.HasPrefix(a.Val, "#") {
				t.Errorf("<%s %s=%q>", d.Data, a.Key, a.Val)
			}
		}
	}
	struck := elements(root, "s")
	if len(struck) != 1 || words(struck[0]) != evil {
		t.Errorf("%d struck entries, or other words in it", len(struck))
	}
	if got := strings.Count(words(elements(root, "body")[0]), "<script>alert(1)</script>"); got < 20 {
		t.Errorf("the text is shown %d times only", got)
	}
}

// Ink on paper keeps the contrast that WCAG 2.2 asks of small text, 4.5 to 1 (success criterion 1.4.3), each colour computed as it says.
func TestContrast(t *testing.T) {
	colour := map[string][3]float64{}
	for _, m := range regexp.MustCompile(`--(\w+): #([0-9a-f]{6})`).FindAllStringSubmatch(look, -1) {
		colour[m[1]] = rgb(t, m[2])
	}
	for _, pair := range [][2]string{{"ink", "paper"}, {"soft", "paper"}, {"paper", "ink"}} {
		a, okA := colour[pair[0]]
		b, okB := colour[pair[1]]
		if c := contrast(a, b); !okA || !okB || c < 4.5 {
			t.Errorf("%s on %s: %.2f", pair[0], pair[1], c)
		}
	}
	link := regexp.MustCompile(`(?m)^a \{ color: #([0-9a-f]{6})`).FindStringSubmatch(look)
	code := regexp.MustCompile(`(?m)^code .*background: #([0-9a-f]{6})`).FindStringSubmatch(look)
	if link == nil || code == nil {
		t.Fatal("no colour of links, or of commands")
	}
	if c := contrast(rgb(t, link[1]), colour["paper"]); c < 4.5 {
		t.Errorf("links: %.2f", c)
	}
	if c := contrast(colour["ink"], rgb(t, code[1])); c < 4.5 {
		t.Errorf("commands: %.2f", c)
	}
}

func rgb(t *testing.T, hex string) (c [3]float64) {
	t.Helper()
	for i := range c {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c[i] = float64(n) / 255
	}
	return c
}

// contrast is WCAG's ratio of relative luminances.
func contrast(a, b [3]float64) float64 {
	luminance := func(c [3]float64) float64 {
		for i, v := range c {
			if v <= 0.04045 {
				c[i] = v / 12.92
			} else {
				c[i] = math.Pow((v+0.055)/1.055, 2.4)
			}
		}
		return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestSameBytes(t *testing.T) {
	r := report(t, "friday-nine", 2)
	if one, two := page(t, r), page(t, r); one != two {
		t.Error("one report gives two pages")
	}
}

func BenchmarkPage(b *testing.B) {
	r := report(b, "uneventful", 3, faulty...)
	for b.Loop() {
		page(b, r)
	}
}

// A test left at any command has its page, and so has a sheet full of absurd numbers.
func TestEveryAttemptHasItsPage(t *testing.T) {
	c, err := scenarios.Load("friday-nine")
	if err != nil {
		t.Fatal(err)
	}
	played, err := grader.Play(grader.Default(), c.Draw(2))
	if err != nil {
		t.Fatal(err)
	}
	h := played.Session.State().Header
	for n := 0; n <= len(played.Lines); n += 9 {
		course, err := grader.Read(h, played.Lines[:n])
		if err != nil {
			t.Fatal(err)
		}
		r := grader.Grade(grader.Default(), course)
		want := 0
		if len(r.Record.Pulses)+len(r.Record.Pressures) > 0 || r.Record.PedalAtS != nil {
			want++
		}
		if len(r.Worked.Points) > 0 {
			want++
		}
		text := page(t, r)
		if root := parsed(t, text); len(elements(root, "svg")) != want || strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("after %d commands: a picture is missing, one too many, or holds what is no number", n)
		}
	}
	for _, x := range []float64{0, -300, 1e4, 1e12, math.Inf(1), math.NaN()} {
		r := report(t, "uneventful", 3)
		r.Student.MaxWorkRate, r.Student.MaxHR = &x, &x
		for i := range r.Record.Pulses {
			r.Record.Pulses[i].Wrote = &x
		}
		for i := range r.Record.Pressures {
			r.Record.Pressures[i].WroteSystolic, r.Record.Pressures[i].WroteDiastolic = &x, &x
		}
		for _, p := range elements(parsed(t, page(t, r)), "path", "text") {
			if d := attr(p, "d") + attr(p, "x") + attr(p, "y"); strings.Contains(d, "NaN") || strings.Contains(d, "Inf") {
				t.Errorf("%v written: %.80s", x, d)
			}
		}
	}
}
