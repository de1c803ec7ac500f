package picture

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The lines by which things are told apart.
var (
	solid    = draw.LineStyle{Color: black, Width: vg.Points(1.2)}
	thin     = draw.LineStyle{Color: black, Width: vg.Points(0.7)}
	dashed   = draw.LineStyle{Color: black, Width: vg.Points(1.2), Dashes: []vg.Length{vg.Points(5), vg.Points(3)}}
	longDash = draw.LineStyle{Color: black, Width: vg.Points(0.8), Dashes: []vg.Length{vg.Points(9), vg.Points(3)}}
	dotted   = draw.LineStyle{Color: grey, Width: vg.Points(0.8), Dashes: []vg.Length{vg.Points(1.2), vg.Points(2.2)}}
	hairline = draw.LineStyle{Color: grey, Width: vg.Points(0.4)}
)

// stroke is a line through points.
func stroke(style draw.LineStyle, points ...plotter.XY) *plotter.Line {
	return &plotter.Line{XYs: points, LineStyle: style}
}

// every marks an axis each so many units, counted from a start.
func every(each, from float64) plot.TickerFunc {
	return func(low, high float64) []plot.Tick {
		var ticks []plot.Tick
		for v := from + each*math.Ceil((low-from)/each); v <= high+1e-9; v += each {
			ticks = append(ticks, plot.Tick{Value: v, Label: plain(v)})
		}
		return ticks
	}
}

// dash is a short level line, tick an upright one, bigBox a square around a mark, hollow a ring that hides what lies under it.
type (
	hollow struct{}
	dash   struct{}
	bigBox struct{}
	tick   struct{}
)

func (dash) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, pt vg.Point) {
	c.StrokeLine2(thin, pt.X-s.Radius, pt.Y, pt.X+s.Radius, pt.Y)
}

func (hollow) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, pt vg.Point) {
	var p vg.Path
	p.Move(vg.Point{X: pt.X + s.Radius, Y: pt.Y})
	p.Arc(pt, s.Radius, 0, 2*math.Pi)
	p.Close()
	c.SetColor(color.White)
	c.Fill(p)
	c.SetLineStyle(thin)
	c.Stroke(p)
}

func (tick) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, pt vg.Point) {
	c.StrokeLine2(thin, pt.X, pt.Y-s.Radius, pt.X, pt.Y+s.Radius)
}

func (bigBox) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, pt vg.Point) {
	r := s.Radius
	c.StrokeLines(thin, []vg.Point{{X: pt.X - r, Y: pt.Y - r}, {X: pt.X + r, Y: pt.Y - r}, {X: pt.X + r, Y: pt.Y + r}, {X: pt.X - r, Y: pt.Y + r}, {X: pt.X - r, Y: pt.Y - r}})
}

// A keyRow lays out what the marks mean, from left to right, in rows.
type keyRow struct {
	c    draw.Canvas
	face *Face
	x, y vg.Length
}

func (k *keyRow) room(words string) (at vg.Point) {
	style := k.face.style(small, false)
	w := style.Width(words) + vg.Points(32)
	if k.x+w > k.c.Max.X {
		k.x, k.y = k.c.Min.X, k.y-vg.Points(12)
	}
	at = vg.Point{X: k.x, Y: k.y}
	style.YAlign = draw.YCenter
	k.c.FillText(style, vg.Point{X: k.x + vg.Points(20), Y: k.y}, words)
	k.x += w
	return at
}

func (k *keyRow) glyph(shape draw.GlyphDrawer, words string) {
	at := k.room(words)
	k.c.DrawGlyphNoClip(draw.GlyphStyle{Color: black, Radius: vg.Points(3.5), Shape: shape}, at.Add(vg.Point{X: vg.Points(12)}))
}

func (k *keyRow) line(style draw.LineStyle, words string) {
	at := k.room(words)
	k.c.StrokeLine2(style, at.X, at.Y, at.X+vg.Points(17), at.Y)
}

// plain prints a number with as many decimals as it has, two at most.
func plain(x float64) string {
	s := strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
	return strings.Replace(s, "-", "−", 1)
}

func whole(x float64) string {
	return strings.Replace(strconv.FormatFloat(x, 'f', 0, 64), "-", "−", 1)
}

// clock prints whole seconds as minutes and seconds.
func clock(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) }
