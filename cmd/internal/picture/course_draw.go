package picture

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Draw puts the picture on a face: four plots one above the other, with one axis of time.
func (t Course) Draw(pen Pen, face *Face) {
	w, h := t.Size()
	dc := newCanvas(pen, w, h)
	rows := t.rows()
	plots := []*plot.Plot{t.pulsePlot(face), t.pressurePlot(face), t.loadPlot(face), t.markPlot(face, rows)}
	heights := []float64{pulseH, pressureH, loadH, rowH*float64(len(rows)+1) + footH}
	for i, p := range plots {
		p.X.Min, p.X.Max = t.span()
		p.X.Tick.Marker = t.minutes()
		p.X.Padding = 0
		if i < len(plots)-1 {
			p.HideX()
		}
	}
	var left, right vg.Length // where the narrowest plot begins and ends
	slab := make([]draw.Canvas, len(plots))
	top := h
	for i, p := range plots {
		slab[i] = draw.Crop(dc, 0, 0, vg.Points(top-heights[i]+3), -vg.Points(h-top+3))
		data := p.DataCanvas(slab[i])
		left, right = max(left, data.Min.X-slab[i].Min.X), max(right, slab[i].Max.X-data.Max.X)
		top -= heights[i]
	}
	for i, p := range plots {
		data := p.DataCanvas(slab[i])
		p.Draw(draw.Crop(slab[i], left-(data.Min.X-slab[i].Min.X), (slab[i].Max.X-data.Max.X)-right, 0, 0))
	}
	t.key(draw.Crop(dc, vg.Points(20), 0, 0, -vg.Points(h-keyH)), face)
}

// span is the time shown, in minutes.
func (t Course) span() (from, to float64) {
	from, to = float64(t.FromS)/60, float64(t.ToS)/60
	return math.Floor(from), math.Max(math.Ceil(to), math.Floor(from)+1)
}

// minutes marks the axis of time each minute, with a number where there is room.
func (t Course) minutes() plot.TickerFunc {
	from, to := t.span()
	each := 1.0
	for (to-from)/each > 20 {
		each++
		if each > 2 {
			each = 5 * math.Ceil(each/5)
		}
	}
	return func(low, high float64) []plot.Tick {
		var ticks []plot.Tick
		for m := math.Ceil(low); m <= high; m++ {
			switch {
			case math.Mod(m, each) == 0:
				ticks = append(ticks, plot.Tick{Value: m, Label: fmt.Sprintf("%.0f:00", m)})
			case each <= 5:
				ticks = append(ticks, plot.Tick{Value: m})
			}
		}
		return ticks
	}
}

// A panel draws something over the time of the test.
type panel struct {
	t      Course
	face   *Face
	number bool // of the stages, at the top
	draw   func(c draw.Canvas, x, y func(float64) vg.Length)
}

func (d *panel) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	minute := func(s float64) vg.Length { return x(s / 60) }
	say := d.face.style(small, true)
	say.YAlign = draw.YTop
	upright := func(at int, style draw.LineStyle, words string) {
		px := minute(float64(at))
		if px < c.Min.X || px > c.Max.X {
			return
		}
		c.StrokeLine2(style, px, c.Min.Y, px, c.Max.Y)
		if d.number {
			c.FillText(say, vg.Point{X: px + vg.Points(2), Y: c.Max.Y - vg.Points(1)}, words)
		}
	}
	if d.t.PedalAtS >= 0 {
		words := "warm-up"
		if minute(float64(d.t.firstStage()))-minute(float64(d.t.PedalAtS)) < say.Width(words)+vg.Points(4) {
			words = ""
		}
		upright(d.t.PedalAtS, dotted, words)
	}
	for _, s := range d.t.Steps {
		if s.NewStage > 0 {
			upright(s.AtS, hairline, fmt.Sprint(s.NewStage))
		}
	}
	if d.t.EndedAtS >= 0 {
		upright(d.t.EndedAtS, thin, "end")
	}
	d.draw(c, minute, y)
}

// firstStage is the second at which stage 1 began, or the last one.
func (t Course) firstStage() int {
	for _, s := range t.Steps {
		if s.NewStage > 0 {
			return s.AtS
		}
	}
	return t.ToS
}

func (t Course) pulsePlot(face *Face) *plot.Plot {
	p := face.blank("", "pulse, bpm")
	p.Y.Min, p.Y.Max = 60, 140
	hold := func(hr float64) { p.Y.Min, p.Y.Max = math.Min(p.Y.Min, hr-5), math.Max(p.Y.Max, hr+12) }
	for _, d := range append(append([]Dot(nil), t.Pulses...), t.Monitor...) {
		hold(d.HR)
		if d.Wrote > 30 && d.Wrote < 250 { // what nobody's heart does would squash the rest
			hold(d.Wrote)
		}
	}
	if t.Ceiling > 0 {
		hold(t.Ceiling)
	}
	p.Y.Min, p.Y.Max = 20*math.Floor(p.Y.Min/20), 20*math.Ceil(p.Y.Max/20)
	p.Y.Tick.Marker = every(20, 0)
	p.Add(&panel{t: t, face: face, number: true, draw: func(c draw.Canvas, x, y func(float64) vg.Length) {
		if t.Ceiling > 0 {
			c.StrokeLine2(longDash, c.Min.X, y(t.Ceiling), c.Max.X, y(t.Ceiling))
			say := face.style(small, false)
			say.YAlign = draw.YBottom
			c.FillText(say, vg.Point{X: c.Min.X + vg.Points(3), Y: y(t.Ceiling) + vg.Points(1)}, "ceiling "+plain(t.Ceiling))
		}
		for _, d := range t.Monitor {
			c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(3), Shape: draw.SquareGlyph{}}, vg.Point{X: x(float64(d.AtS)), Y: y(d.HR)})
		}
		for _, d := range t.Pulses {
			at := vg.Point{X: x(float64(d.AtS)), Y: y(d.HR)}
			if d.Wrote > 0 {
				other := vg.Point{X: at.X, Y: min(max(y(d.Wrote), c.Min.Y), c.Max.Y)}
				c.StrokeLine2(dotted, at.X, at.Y, other.X, other.Y)
				c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(2.8), Shape: draw.RingGlyph{}}, other)
			}
			c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(2.6), Shape: draw.CircleGlyph{}}, at)
		}
	}})
	return p
}

func (t Course) pressurePlot(face *Face) *plot.Plot {
	p := face.blank("", "pressure, mmHg")
	p.Y.Min, p.Y.Max = 60, 160
	for _, b := range t.Pressures {
		if b.Systolic > 0 {
			p.Y.Min, p.Y.Max = math.Min(p.Y.Min, b.Diastolic-5), math.Max(p.Y.Max, b.Systolic+5)
		}
		if b.WroteSystolic > 0 && b.WroteSystolic < 320 {
			p.Y.Max = math.Max(p.Y.Max, b.WroteSystolic+5)
		}
	}
	p.Y.Min, p.Y.Max = 40*math.Floor(p.Y.Min/40), 40*math.Ceil(p.Y.Max/40)
	p.Y.Tick.Marker = every(40, 0)
	p.Add(&panel{t: t, face: face, draw: func(c draw.Canvas, x, y func(float64) vg.Length) {
		pillar := func(px vg.Length, style draw.LineStyle, sys, dia float64) {
			low, high := min(max(y(dia), c.Min.Y), c.Max.Y), min(max(y(sys), c.Min.Y), c.Max.Y)
			c.StrokeLine2(style, px, low, px, high)
			for _, foot := range []vg.Length{low, high} {
				c.StrokeLine2(thin, px-vg.Points(2.5), foot, px+vg.Points(2.5), foot)
			}
		}
		for _, b := range t.Pressures {
			px := x(float64(b.AtS))
			if b.Systolic > 0 {
				pillar(px, solid, b.Systolic, b.Diastolic)
			} else {
				c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(3), Shape: draw.CrossGlyph{}}, vg.Point{X: px, Y: c.Min.Y + vg.Points(6)})
			}
			if b.WroteSystolic > 0 {
				pillar(px+vg.Points(5), dotted, b.WroteSystolic, b.WroteDiastolic)
			}
		}
	}})
	return p
}

func (t Course) loadPlot(face *Face) *plot.Plot {
	p := face.blank("", "load, kp")
	p.Y.Min, p.Y.Max = 0, 2
	for _, s := range t.Steps {
		p.Y.Max = math.Max(p.Y.Max, math.Ceil(s.Kp+0.4))
	}
	p.Y.Tick.Marker = every(math.Max(1, math.Round(p.Y.Max/3)), 0)
	p.Add(&panel{t: t, face: face, draw: func(c draw.Canvas, x, y func(float64) vg.Length) {
		say := face.style(small, false)
		say.YAlign = draw.YBottom
		for i, s := range t.Steps {
			until := float64(t.ToS)
			if i+1 < len(t.Steps) {
				until = float64(t.Steps[i+1].AtS)
			}
			if !s.Moving {
				continue
			}
			x0, x1, top := x(float64(s.AtS)), x(until), y(s.Kp)
			c.FillPolygon(pale, []vg.Point{{X: x0, Y: c.Min.Y}, {X: x1, Y: c.Min.Y}, {X: x1, Y: top}, {X: x0, Y: top}})
			c.StrokeLines(solid, []vg.Point{{X: x0, Y: c.Min.Y}, {X: x0, Y: top}, {X: x1, Y: top}, {X: x1, Y: c.Min.Y}})
			if words := plain(s.Kp); say.Width(words) < x1-x0-vg.Points(3) {
				c.FillText(say, vg.Point{X: x0 + vg.Points(2), Y: top + vg.Points(1)}, words)
			}
		}
	}})
	return p
}

// markPlot has a line for each kind of mark and each sign, named at the left.
func (t Course) markPlot(face *Face, rows []string) *plot.Plot {
	p := face.blank("clock since you met, min:s", "")
	n := float64(len(rows))
	p.Y.Min, p.Y.Max = 0, n
	p.Y.Tick.Length = 0
	p.Y.Tick.Marker = plot.TickerFunc(func(_, _ float64) []plot.Tick {
		var ticks []plot.Tick
		for i, name := range rows {
			ticks = append(ticks, plot.Tick{Value: n - float64(i) - 0.5, Label: name})
		}
		return ticks
	})
	p.Add(&panel{t: t, face: face, draw: func(c draw.Canvas, x, y func(float64) vg.Length) {
		row := func(i int) vg.Length { return y(n - float64(i) - 0.5) }
		say := face.style(small, false)
		say.XAlign, say.YAlign = draw.XCenter, draw.YCenter
		for i := 1; i < len(rows); i++ {
			if rows[i] == "" {
				continue
			}
			c.StrokeLine2(hairline, c.Min.X, y(n-float64(i)), c.Max.X, y(n-float64(i)))
		}
		for _, r := range t.Ratings {
			words, at := fmt.Sprint(r.RPE), vg.Point{X: x(float64(r.AtS)), Y: row(0)}
			blank(c, at, say.Width(words)/2+vg.Points(0.5), vg.Points(4))
			c.FillText(say, at, words)
		}
		shapes := map[Row]draw.GlyphDrawer{Said: draw.BoxGlyph{}, Showed: draw.PyramidGlyph{}, Looked: tick{}}
		for _, m := range t.Marks {
			if shape, ok := shapes[m.Row]; ok {
				c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(2.8), Shape: shape}, vg.Point{X: x(float64(m.AtS)), Y: row(1 + int(m.Row))})
			}
		}
		say.Font = face.style(small, true).Font
		lines := t.findingLines()
		for i, line := range lines {
			for _, m := range line {
				half := say.Width(m.Label) / 2
				at := vg.Point{X: min(x(float64(m.AtS)), c.Max.X-half), Y: row(1 + int(Finding) + i)}
				blank(c, at, half+vg.Points(0.5), vg.Points(4))
				c.FillText(say, at, m.Label)
			}
		}
		for i, list := range t.signs() {
			for _, s := range list {
				x0, x1, mid := max(x(float64(s.FromS)), c.Min.X), min(x(float64(s.ToS)), c.Max.X), row(4+len(lines)+i)
				x1 = max(x1, x0+vg.Points(1.5))
				c.FillPolygon(grey, []vg.Point{{X: x0, Y: mid - vg.Points(3)}, {X: x1, Y: mid - vg.Points(3)}, {X: x1, Y: mid + vg.Points(3)}, {X: x0, Y: mid + vg.Points(3)}})
			}
		}
	}})
	return p
}

// blank clears a place for letters, so that no line runs through them.
func blank(c draw.Canvas, at vg.Point, halfW, halfH vg.Length) {
	c.FillPolygon(color.White, []vg.Point{{X: at.X - halfW, Y: at.Y - halfH}, {X: at.X + halfW, Y: at.Y - halfH},
		{X: at.X + halfW, Y: at.Y + halfH}, {X: at.X - halfW, Y: at.Y + halfH}})
}

// key explains the marks that are there.
func (t Course) key(c draw.Canvas, face *Face) {
	k := keyRow{c: c, face: face, y: c.Max.Y - vg.Points(10), x: c.Min.X}
	k.glyph(draw.CircleGlyph{}, "pulse as felt")
	for _, d := range t.Pulses {
		if d.Wrote > 0 {
			k.glyph(draw.RingGlyph{}, "as written, where that differs")
			break
		}
	}
	if len(t.Monitor) > 0 {
		k.glyph(draw.SquareGlyph{}, "the monitor's number")
	}
	k.line(solid, "systolic to diastolic")
	for _, b := range t.Pressures {
		if b.Systolic == 0 {
			k.glyph(draw.CrossGlyph{}, "a pressure not read")
			break
		}
	}
	for _, b := range t.Pressures {
		if b.WroteSystolic > 0 {
			k.line(dotted, "pressure as written, where that differs")
			break
		}
	}
	if len(t.Signs) > 0 {
		k.glyph(greyBar{}, "a sign that was there, noticed or not")
	}
}

type greyBar struct{}

func (greyBar) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, pt vg.Point) {
	c.FillPolygon(grey, []vg.Point{{X: pt.X - vg.Points(6), Y: pt.Y - s.Radius}, {X: pt.X + vg.Points(6), Y: pt.Y - s.Radius},
		{X: pt.X + vg.Points(6), Y: pt.Y + s.Radius}, {X: pt.X - vg.Points(6), Y: pt.Y + s.Radius}})
}
