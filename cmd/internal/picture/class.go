package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// An Agreement is readings or estimates against what was so: the difference of each against the true value, with bias and limits of agreement.
type Agreement struct {
	What, Unit     string // "pulse", "bpm"
	Pairs          []Reading
	Bias           float64
	LimitLow, High *float64 // limits of agreement, nil when one pair has no spread
}

// A Reading is one reading and what was so.
type Reading struct{ Read, True float64 }

func (a Agreement) Name() string { return "agreement-" + strings.ReplaceAll(a.What, " ", "-") }
func (a Agreement) Title() string {
	return fmt.Sprintf("Agreement of the class's %s with what was so", a.What)
}
func (a Agreement) Size() (w, h float64) { return width, 300 }

// Text says what the picture shows.
func (a Agreement) Text() string {
	t := a.drawn() + fmt.Sprintf(". Across: the true value, %s; up: written minus true, %s. Bias %s", a.Unit, a.Unit, plain(a.Bias))
	if a.LimitLow != nil && a.High != nil {
		t += fmt.Sprintf("; 19 of 20 differences are to be expected from %s to %s", plain(*a.LimitLow), plain(*a.High))
	}
	return t + "."
}

// drawn says how many pairs there are, and whether all have their mark.
func (a Agreement) drawn() string {
	t := fmt.Sprintf("%d pairs", len(a.Pairs))
	if each := drawnEach(len(a.Pairs)); each > 1 {
		t += fmt.Sprintf(", one in %d drawn", each)
	}
	return t
}

// Draw puts the picture on a face.
func (a Agreement) Draw(pen Pen, face *Face) {
	p := face.blank("true, "+a.Unit+" ("+a.drawn()+")", "written minus true, "+a.Unit)
	var x, y []float64
	each := drawnEach(len(a.Pairs))
	for i, r := range a.Pairs {
		if i%each == 0 {
			x, y = append(x, r.True), append(y, r.Read-r.True)
		}
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(marksFor), plot.TickerFunc(marksFor)
	p.X.Min, p.X.Max = around(x)
	levels := []float64{0, a.Bias}
	if a.LimitLow != nil && a.High != nil {
		levels = append(levels, *a.LimitLow, *a.High)
	}
	p.Y.Min, p.Y.Max = around(append(y, levels...))
	across := func(style draw.LineStyle, at float64) {
		p.Add(stroke(style, plotter.XY{X: p.X.Min, Y: at}, plotter.XY{X: p.X.Max, Y: at}))
	}
	across(dotted, 0)
	across(solid, a.Bias)
	for _, at := range levels[2:] {
		across(dashed, at)
	}
	p.Add(&dots{x: x, y: y, radius: dotSize(len(x))})
	w, h := a.Size()
	dc := newCanvas(pen, w, h)
	p.Draw(draw.Crop(dc, 0, -vg.Points(6), vg.Points(20), -vg.Points(4)))
	k := &keyRow{c: draw.Crop(dc, vg.Points(44), 0, 0, -vg.Points(h-20)), face: face}
	k.x, k.y = k.c.Min.X, k.c.Min.Y+vg.Points(8)
	k.line(solid, "bias "+plain(a.Bias))
	if len(levels) > 2 {
		k.line(dashed, fmt.Sprintf("limits of agreement %s and %s", plain(levels[2]), plain(levels[3])))
	}
	k.line(dotted, "no difference")
}

// mostDots is how many marks a picture takes before they are one grey, and its file a large one.
const mostDots = 2000

// drawnEach says which mark in turn is drawn: 1 is all.
func drawnEach(n int) int { return max(1, (n+mostDots-1)/mostDots) }

// around is a span that holds the values with some room, never empty.
func around(x []float64) (low, high float64) {
	if len(x) == 0 {
		return 0, 1
	}
	low, high = slices.Min(x), slices.Max(x)
	room := math.Max(0.05*(high-low), 0.5)
	return low - room, high + room
}

// dotSize is smaller the more dots there are.
func dotSize(n int) vg.Length {
	if n > 300 {
		return vg.Points(1.2)
	}
	return vg.Points(2.2)
}

// dots are marks at places.
type dots struct {
	x, y   []float64
	radius vg.Length
}

func (d *dots) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for i := range d.x {
		c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: d.radius, Shape: hollow{}}, vg.Point{X: x(d.x[i]), Y: y(d.y[i])})
	}
}

// Margins are the signed margins of each student, a row each.
type Margins struct {
	Which    string // "M"
	Students []StudentMargins
}

// A StudentMargins is one row: each margin in mL/kg/min.
type StudentMargins struct {
	Student string
	Margins []float64
}

func (m Margins) Name() string { return "margins-" + strings.ToLower(m.Which) }
func (m Margins) Title() string {
	return fmt.Sprintf("Margins %s by student", m.Which)
}

// rowHeight is the height of one student's row, in points.
const rowHeight = 11

func (m Margins) Size() (w, h float64) { return width, 52 + rowHeight*float64(max(1, len(m.Students))) }

// Text says what the picture shows.
func (m Margins) Text() string {
	all := []string{fmt.Sprintf("Margins %s of %d students, mL/kg/min.", m.Which, len(m.Students))}
	for _, s := range m.Students {
		if len(s.Margins) == 0 {
			all = append(all, s.Student+": none can be estimated.")
			continue
		}
		all = append(all, fmt.Sprintf("%s: %d, from %s to %s, mean %s.", s.Student, len(s.Margins), plain(slices.Min(s.Margins)), plain(slices.Max(s.Margins)), plain(mean(s.Margins))))
	}
	return strings.Join(all, " ")
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// Draw puts the picture on a face.
func (m Margins) Draw(pen Pen, face *Face) {
	p := face.blank("margin "+m.Which+", mL/kg/min", "")
	var all []float64
	for _, s := range m.Students {
		all = append(all, s.Margins...)
	}
	p.X.Min, p.X.Max = around(append(all, 0))
	p.Y.Min, p.Y.Max = -0.5, float64(max(1, len(m.Students)))-0.5
	var ticks []plot.Tick
	for i, s := range m.Students {
		ticks = append(ticks, plot.Tick{Value: m.row(i), Label: s.Student})
	}
	p.Y.Tick.Marker = plot.ConstantTicks(ticks)
	p.X.Tick.Marker = plot.TickerFunc(marksFor)
	p.Add(stroke(dotted, plotter.XY{X: 0, Y: p.Y.Min}, plotter.XY{X: 0, Y: p.Y.Max}))
	d := &dots{radius: vg.Points(2)}
	means := &strokesUp{}
	for i, s := range m.Students {
		for _, v := range s.Margins {
			d.x, d.y = append(d.x, v), append(d.y, m.row(i))
		}
		if len(s.Margins) > 0 {
			means.x, means.y = append(means.x, mean(s.Margins)), append(means.y, m.row(i))
		}
	}
	p.Add(d, means)
	w, h := m.Size()
	dc := newCanvas(pen, w, h)
	p.Draw(draw.Crop(dc, vg.Points(10), -vg.Points(6), vg.Points(16), -vg.Points(4)))
	k := &keyRow{c: draw.Crop(dc, vg.Points(44), 0, 0, -vg.Points(h-16)), face: face}
	k.x, k.y = k.c.Min.X, k.c.Min.Y+vg.Points(6)
	k.glyph(hollow{}, "one attempt")
	k.glyph(tick{}, "mean: the bias of a student")
}

// row is where a student's row lies: the first at the top.
func (m Margins) row(i int) float64 { return float64(len(m.Students) - 1 - i) }

// strokesUp are short upright lines at places.
type strokesUp struct{ x, y []float64 }

func (s *strokesUp) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for i := range s.x {
		at := vg.Point{X: x(s.x[i]), Y: y(s.y[i])}
		c.StrokeLine2(solid, at.X, at.Y-vg.Points(4.5), at.X, at.Y+vg.Points(4.5))
	}
}

// strokesAcross are short level lines at places.
type strokesAcross struct{ at []plotter.XY }

func (s *strokesAcross) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, a := range s.at {
		c.StrokeLine2(solid, x(a.X)-vg.Points(7), y(a.Y), x(a.X)+vg.Points(7), y(a.Y))
	}
}
