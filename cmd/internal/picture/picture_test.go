package picture

import (
	"math"
	"strings"
	"testing"
)

// A notebook is a pen that keeps what it drew.
type notebook struct {
	lines  []stroked
	filled [][]Move
	words  []lettered
}

type stroked struct {
	outline []Move
	line    Line
}

type lettered struct {
	x, y, width float64
	s           string
}

func (n *notebook) Stroke(o []Move, l Line) { n.lines = append(n.lines, stroked{o, l}) }
func (n *notebook) Fill(o []Move, _ uint8)  { n.filled = append(n.filled, o) }
func (n *notebook) says(s string) (lettered, bool) {
	for _, w := range n.words {
		if w.s == s {
			return w, true
		}
	}
	return lettered{}, false
}

func (n *notebook) Text(x, y, _, _, width float64, _ bool, _ uint8, s string) {
	n.words = append(n.words, lettered{x, y, width, s})
}

// drawn puts a picture into a notebook and holds it to its size.
func drawn(t *testing.T, d Drawing) *notebook {
	t.Helper()
	n := &notebook{}
	d.Draw(n, Sans())
	w, h := d.Size()
	inside := func(p Point, what string) {
		if math.IsNaN(p.X+p.Y) || p.X < -1 || p.X > w+1 || p.Y < -1 || p.Y > h+1 {
			t.Errorf("%s: %s at %.1f, %.1f, outside %.0f × %.0f", d.Name(), what, p.X, p.Y, w, h)
		}
	}
	check := func(o []Move) {
		for _, m := range o {
			if m.Op != 'Z' {
				inside(m.At[0], "a mark")
			}
		}
	}
	for _, l := range n.lines {
		check(l.outline)
	}
	for _, f := range n.filled {
		check(f)
	}
	for _, s := range n.words {
		inside(Point{s.x, s.y}, s.s)
		if s.x+s.width > w+1 && len(s.s) > 2 {
			t.Errorf("%s: %q runs off the right edge", d.Name(), s.s)
		}
	}
	return n
}

// sample is the worked example of the protocol: 122 bpm at 450 and 144 bpm at 600 kg·m/min reach 196 bpm at
// 600 + (196 − 144) / (22/150) = 954.5 kg·m/min, worked by hand.
func sample() Extrapolation {
	return Extrapolation{
		Stages: []Stage{
			{Number: 1, WorkRate: 150, HR: 92, Minutes: []float64{92, 92}, Why: "below 110 bpm"},
			{Number: 2, WorkRate: 450, HR: 122, Minutes: []float64{120, 124}, Used: true, Chosen: true, Why: "steady"},
			{Number: 3, WorkRate: 600, HR: 144, Minutes: []float64{144, 144}, Used: true, Chosen: true, Why: "steady"},
		},
		MaxHR: 196, Ceiling: 166.6, WindowLow: 110, WindowHigh: 166.6, Slope: 22.0 / 150, Intercept: 56, Worked: &Reach{954.5, 196},
	}
}

// at finds, by the numbers of the axes, where a point of the plot stands on the page.
func at(t *testing.T, n *notebook, workRate, hr float64) Point {
	t.Helper()
	// The level lines are known: predicted maximum, full width; the axis of work rate begins where they begin.
	var top, low *stroked
	for i := range n.lines {
		l := &n.lines[i]
		if len(l.outline) == 2 && l.outline[0].At[0].Y == l.outline[1].At[0].Y && l.outline[1].At[0].X-l.outline[0].At[0].X > 300 {
			switch {
			case len(l.line.Dash) == 0 && l.line.Width == thin.Width.Points():
				top = l // 196
			case len(l.line.Dash) == 2 && l.line.Dash[0] == longDash.Dashes[0].Points():
				low = l // 166.6
			}
		}
	}
	if top == nil || low == nil {
		t.Fatal("no level line of the maximum, or of the ceiling")
	}
	y196, y167 := top.outline[0].At[0].Y, low.outline[0].At[0].Y
	x0, x1 := top.outline[0].At[0].X, top.outline[1].At[0].X
	return Point{x0 + workRate/1050*(x1-x0), y196 + (196-hr)*(y167-y196)/(196-166.6)}
}

func (n *notebook) hasLineTo(p Point, dashes int) bool {
	for _, l := range n.lines {
		if len(l.line.Dash) == dashes && len(l.outline) >= 2 && l.line.Width > 1 {
			if e := l.outline[len(l.outline)-1].At[0]; math.Hypot(e.X-p.X, e.Y-p.Y) < 0.5 {
				return true
			}
		}
	}
	return false
}

func (n *notebook) hasMarkAt(p Point) bool {
	for _, f := range n.filled {
		var x, y, k float64
		for _, m := range f {
			if m.Op == 'C' {
				x, y, k = x+m.At[2].X, y+m.At[2].Y, k+1
			}
		}
		if k > 0 && math.Hypot(x/k-p.X, y/k-p.Y) < 0.5 {
			return true
		}
	}
	return false
}

func TestLineIsWhereTheNumbersSay(t *testing.T) {
	e := sample()
	n := drawn(t, e)
	for _, s := range e.Stages {
		if !n.hasMarkAt(at(t, n, s.WorkRate, s.HR)) {
			t.Errorf("no mark for stage %d", s.Number)
		}
	}
	if !n.hasLineTo(at(t, n, 954.5, 196), 0) {
		t.Error("the worked line does not end at 954.5 kg·m/min, 196 bpm")
	}
	if strings.Contains(e.Text(), "Yours ends") || !strings.Contains(e.Text(), "reaches 196 bpm at 954 kg·m/min") { // 954.5, the half to even
		t.Errorf("in words: %s", e.Text())
	}
}

func TestStudentsLineOnlyWhereItDiffers(t *testing.T) {
	e := sample()
	e.Student = &Reach{955, 196}
	if n := drawn(t, e); n.hasLineTo(at(t, n, 955, 196), 2) {
		t.Error("a second line is drawn though both agree")
	}
	if !strings.Contains(e.Text(), "agree") {
		t.Errorf("in words: %s", e.Text())
	}
	e.Student = &Reach{800, 190}
	n := drawn(t, e)
	if !n.hasLineTo(at(t, n, 800, 190), 2) || !n.hasLineTo(at(t, n, 954.5, 196), 0) {
		t.Error("the two lines do not end where they should")
	}
	for _, want := range []string{"800 yours", "954 worked", "your line", "worked line"} {
		if _, ok := n.says(want); !ok {
			t.Errorf("the picture does not say %q", want)
		}
	}
	if !strings.Contains(e.Text(), "Yours ends at 190 bpm and 800 kg·m/min.") {
		t.Errorf("in words: %s", e.Text())
	}
	// The same end through other points is another line.
	e.Student = &Reach{954.5, 196}
	e.Stages[0].Chosen, e.Stages[1].Chosen = true, false
	if !strings.Contains(e.Text(), "used by you, not in the worked answer: below 110 bpm") || !e.differ() {
		t.Errorf("in words: %s", e.Text())
	}
}

func TestPictureOfNothing(t *testing.T) {
	for _, d := range []Drawing{Extrapolation{}, Course{PedalAtS: -1, EndedAtS: -1}, Split{}} {
		drawn(t, d)
		if len(d.Text()) < 20 {
			t.Errorf("%s says %q", d.Name(), d.Text())
		}
	}
}

func TestCourseShowsEveryReading(t *testing.T) {
	c := Course{
		FromS: 600, ToS: 1500, PedalAtS: 700, EndedAtS: 1300, Ceiling: 160,
		Steps:     []Step{{700, 0, true, 0}, {820, 0.5, true, 1}, {1000, 2, true, 2}, {1300, 0.5, true, 0}, {1450, 0, false, 0}},
		Pulses:    []Dot{{880, 92, 0, "stage 1"}, {940, 94, 0, "stage 1"}, {1060, 130, 140, "stage 2"}},
		Monitor:   []Dot{{1100, 133, 0, "the monitor"}},
		Pressures: []Bar{{650, 120, 80, 0, 0, "at rest"}, {1200, 0, 0, 150, 90, "stage 2"}},
		Ratings:   []Rating{{990, 9}, {1250, 13}},
		Marks:     []Mark{{1210, Said, "“Hang on.”"}, {1215, Showed, "Slumps."}, {900, Looked, ""}, {1215, Finding, "1"}, {1215, Finding, "2"}, {1216, Finding, "3"}},
		Signs:     []Span{{"chest discomfort", 1190, 1500}, {"pallor", 1200, 1300}, {"chest discomfort", 900, 910}},
	}
	n := drawn(t, c)
	text := c.Text()
	for _, want := range []string{
		"Pedalling began at 11:40.", "stage 2 from 16:40 at 2 kp", "ended at 21:40", "stage 1 92, 94; stage 2 130 (written 140)", "the monitor 133",
		"at rest: 120/80; stage 2: not read, written 150/90", "9 at 16:30; 13 at 20:50", "20:10 “Hang on.”", "20:15 Slumps.", "You looked or asked 1 times.",
		"1 at 20:15; 2 at 20:15; 3 at 20:16", "chest discomfort 19:50–25:00, 15:00–15:10; pallor 20:00–21:40",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("in words there is no %q: %s", want, text)
		}
	}
	for _, want := range []string{"9", "13", "1,2", "3", "chest discomfort", "pallor", "ceiling 160", "end", "0.5", "warm-up", "pulse, bpm", "pressure, mmHg", "load, kp"} {
		if _, ok := n.says(want); !ok {
			t.Errorf("the picture does not say %q", want)
		}
	}
	one, _ := n.says("1,2")
	three, _ := n.says("3")
	if one.y == three.y && three.x < one.x+one.width {
		t.Error("two findings lie on one another")
	}
}

// Thirty findings within a minute have thirty places.
func TestManyFindings(t *testing.T) {
	c := Course{FromS: 0, ToS: 1800, PedalAtS: 10, EndedAtS: -1}
	for i := range 30 {
		c.Marks = append(c.Marks, Mark{AtS: 900 + 2*(i%20), Row: Finding, Label: strings.Repeat("7", 2)})
	}
	n := drawn(t, c)
	var list []lettered
	for _, w := range n.words {
		if strings.Contains(w.s, "77") {
			list = append(list, w)
		}
	}
	for i, a := range list {
		for _, b := range list[:i] {
			if math.Abs(a.y-b.y) < 5 && a.x < b.x+b.width && b.x < a.x+a.width {
				t.Errorf("%q at %.1f, %.1f lies on %q at %.1f", a.s, a.x, a.y, b.s, b.x)
			}
		}
	}
	if len(list) != 20 {
		t.Errorf("%d labels, want one for each second", len(list))
	}
}

// Each minute has a mark, numbers only where there is room, also when somebody waited for hours.
func TestLongTests(t *testing.T) {
	n := drawn(t, Course{FromS: 0, ToS: 20 * 3600, PedalAtS: 60, EndedAtS: -1})
	if k := len(n.lines); k > 400 {
		t.Errorf("%d lines for an empty test of twenty hours", k)
	}
}
