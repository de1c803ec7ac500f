package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Split is a sum taken apart: what each part adds, with its sign, and the sum below.
type Split struct {
	Whole string // "T"
	Unit  string
	Parts []Part
	Sum   float64
}

// A Part adds so much; nil when it has no number.
type Part struct {
	Name string
	Adds *float64
}

func (s Split) Name() string         { return "split" }
func (s Split) Title() string        { return "What " + s.Whole + " is made of" }
func (s Split) Size() (w, h float64) { return width, 46 + 15*float64(len(s.Parts)+1) }

// Text says what the picture shows.
func (s Split) Text() string {
	var up, down, none []string
	for _, p := range s.Parts {
		switch {
		case p.Adds == nil:
			none = append(none, p.Name)
		case *p.Adds < 0:
			down = append(down, fmt.Sprintf("%s %s", p.Name, signed(*p.Adds)))
		case *p.Adds > 0:
			up = append(up, fmt.Sprintf("%s %s", p.Name, signed(*p.Adds)))
		}
	}
	say := func(what string, list []string) string {
		if len(list) == 0 {
			return ""
		}
		return " " + what + ": " + strings.Join(list, ", ") + "."
	}
	return fmt.Sprintf("Bars from an upright line at zero, %s: to the right what raised the estimate, to the left what lowered it.", s.Unit) +
		say("Raised it", up) + say("Lowered it", down) + say("Without a number", none) + fmt.Sprintf(" Together %s: %s.", s.Whole, signed(s.Sum))
}

// signed is a number with two decimals and a true sign.
func signed(x float64) string {
	t := strings.Replace(strconv.FormatFloat(x, 'f', 2, 64), "-", "−", 1)
	if x > 0 {
		t = "+" + t
	}
	return t
}

// Draw puts the picture on a face.
func (s Split) Draw(pen Pen, face *Face) {
	p := face.blank(s.Unit, "")
	low, high := math.Min(0, s.Sum), math.Max(0, s.Sum)
	n := len(s.Parts)
	ticks := []plot.Tick{{Value: 0, Label: s.Whole}}
	for i, part := range s.Parts {
		ticks = append(ticks, plot.Tick{Value: float64(n - i), Label: part.Name})
		if part.Adds != nil {
			low, high = math.Min(low, *part.Adds), math.Max(high, *part.Adds)
		}
	}
	room := math.Max(0.15*(high-low), 0.2) // for the numbers at the ends
	p.X.Min, p.X.Max = low-room, high+room
	p.Y.Min, p.Y.Max = -0.6, float64(n)+0.6
	p.X.Tick.Marker = plot.ConstantTicks(marksFor(p.X.Min, p.X.Max))
	p.Y.Tick.Marker = plot.ConstantTicks(ticks)
	p.Add(&signedBars{s: s, face: face}, stroke(thin, plotter.XY{X: 0, Y: p.Y.Min}, plotter.XY{X: 0, Y: p.Y.Max}))
	w, h := s.Size()
	p.Draw(draw.Crop(newCanvas(pen, w, h), vg.Points(4), -vg.Points(6), vg.Points(2), -vg.Points(4)))
}

// marksFor are four to nine marks of an axis, zero among them: a step of 1, 2 or 5 times a power of ten.
func marksFor(low, high float64) []plot.Tick {
	step := math.Pow(10, math.Floor(math.Log10(high-low))-1)
	for _, k := range []float64{2, 2.5, 2, 2} { // 2, 5, 10, 20
		if (high-low)/step <= 9 {
			break
		}
		step *= k
	}
	var ticks []plot.Tick
	for i := int(math.Ceil(low / step)); float64(i)*step <= high; i++ {
		ticks = append(ticks, plot.Tick{Value: float64(i) * step, Label: plain(float64(i) * step)})
	}
	return ticks
}

// signedBars are level bars from nothing, each with its number beyond its end; the sum is dark.
type signedBars struct {
	s    Split
	face *Face
}

func (b *signedBars) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	n := len(b.s.Parts)
	bar := func(row int, value *float64, fill bool) {
		say := b.face.style(small, fill)
		say.YAlign = draw.YCenter
		mid, from := y(float64(row)), x(0)
		if value == nil {
			c.FillText(say, vg.Point{X: from + vg.Points(3), Y: mid}, "no number")
			return
		}
		low, high, end := mid-vg.Points(4), mid+vg.Points(4), x(*value)
		box := []vg.Point{{X: from, Y: low}, {X: end, Y: low}, {X: end, Y: high}, {X: from, Y: high}}
		if fill {
			c.FillPolygon(grey, box)
		} else {
			c.FillPolygon(pale, box)
		}
		c.StrokeLines(thin, append(box, box[0]))
		at := end + vg.Points(3)
		if *value < 0 {
			at, say.XAlign = end-vg.Points(3), draw.XRight
		}
		c.FillText(say, vg.Point{X: at, Y: mid}, signed(*value))
	}
	for i, part := range b.s.Parts {
		bar(n-i, part.Adds, false)
	}
	bar(0, &b.s.Sum, true)
}
