package picture

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Pen puts marks on a face. Lengths are points, the origin is at the top left, y grows downwards.
type Pen interface {
	Stroke(outline []Move, line Line)
	Fill(outline []Move, grey uint8)
	// Text writes s from the base line's left end, turned against the clock by degrees. Its width is what the font measured.
	Text(x, y, degrees, size, width float64, bold bool, grey uint8, s string)
}

// A Line is how an outline is stroked.
type Line struct {
	Width float64
	Dash  []float64 // lengths drawn and left out in turn; none is a solid line
	Grey  uint8     // 0 black
}

// A Move is one step of an outline: 'M' to a point, 'L' a straight line, 'C' a cubic curve (two controls, then the end), 'Z' back to the start.
type Move struct {
	Op byte
	At [3]Point // M and L use the first
}

// A Point is a place on the face.
type Point struct{ X, Y float64 }

// A Drawing can be put on a face, and said in words.
type Drawing interface {
	Name() string             // short, unique within a report
	Title() string            // what stands above it
	Text() string             // what it shows, in sentences
	Size() (w, h float64)     // in points
	Draw(pen Pen, face *Face) //
}

// canvas lets gonum's plots draw by a pen.
type canvas struct {
	pen    Pen
	height float64
	stack  []drawState
}

type drawState struct {
	line Line
	m    [6]float64 // x' = m0 x + m2 y + m4, y' = m1 x + m3 y + m5
}

func newCanvas(pen Pen, w, h float64) draw.Canvas {
	c := &canvas{pen: pen, height: h, stack: []drawState{{m: [6]float64{1, 0, 0, 1, 0, 0}}}}
	vg.Initialize(c)
	return draw.NewCanvas(c, vg.Points(w), vg.Points(h))
}

func (c *canvas) now() *drawState { return &c.stack[len(c.stack)-1] }

func (c *canvas) SetLineWidth(w vg.Length) { c.now().line.Width = w.Points() }

func (c *canvas) SetLineDash(pattern []vg.Length, _ vg.Length) {
	var dash []float64
	for _, l := range pattern {
		dash = append(dash, l.Points())
	}
	c.now().line.Dash = dash
}

func (c *canvas) SetColor(k color.Color) {
	if k == nil {
		k = color.Black
	}
	c.now().line.Grey = color.GrayModel.Convert(k).(color.Gray).Y
}

func (c *canvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.turn([6]float64{cos, sin, -sin, cos, 0, 0})
}

func (c *canvas) Translate(p vg.Point) {
	c.turn([6]float64{1, 0, 0, 1, p.X.Points(), p.Y.Points()})
}
func (c *canvas) Scale(x, y float64) { c.turn([6]float64{x, 0, 0, y, 0, 0}) }

func (c *canvas) turn(n [6]float64) {
	m := c.now().m
	c.now().m = [6]float64{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

func (c *canvas) Push() { c.stack = append(c.stack, *c.now()) }
func (c *canvas) Pop()  { c.stack = c.stack[:len(c.stack)-1] }

func (c *canvas) at(x, y float64) Point {
	m := c.now().m
	return Point{m[0]*x + m[2]*y + m[4], c.height - (m[1]*x + m[3]*y + m[5])}
}

func (c *canvas) Stroke(p vg.Path) {
	if c.now().line.Width > 0 {
		c.pen.Stroke(c.outline(p), c.now().line)
	}
}

func (c *canvas) Fill(p vg.Path) { c.pen.Fill(c.outline(p), c.now().line.Grey) }

// outline turns a path into moves; arcs become curves.
func (c *canvas) outline(p vg.Path) []Move {
	var all []Move
	var here vg.Point
	for _, step := range p {
		switch step.Type {
		case vg.MoveComp, vg.LineComp:
			op := byte('M')
			if step.Type == vg.LineComp {
				op = 'L'
			}
			all = append(all, Move{Op: op, At: [3]Point{c.at(step.Pos.X.Points(), step.Pos.Y.Points())}})
			here = step.Pos
		case vg.ArcComp:
			all = c.arc(all, step)
		case vg.CurveComp:
			one, two := step.Control[0], step.Pos
			if len(step.Control) == 2 {
				two = step.Control[1]
			} else { // a quadratic curve as a cubic one
				one = vg.Point{X: here.X + 2*(step.Control[0].X-here.X)/3, Y: here.Y + 2*(step.Control[0].Y-here.Y)/3}
				two = vg.Point{X: step.Pos.X + 2*(step.Control[0].X-step.Pos.X)/3, Y: step.Pos.Y + 2*(step.Control[0].Y-step.Pos.Y)/3}
			}
			all = append(all, Move{Op: 'C', At: [3]Point{
				c.at(one.X.Points(), one.Y.Points()), c.at(two.X.Points(), two.Y.Points()), c.at(step.Pos.X.Points(), step.Pos.Y.Points())}})
			here = step.Pos
		case vg.CloseComp:
			all = append(all, Move{Op: 'Z'})
		}
	}
	return all
}

// arc adds an arc in pieces of at most a quarter turn.
func (c *canvas) arc(all []Move, step vg.PathComp) []Move {
	x, y, r := step.Pos.X.Points(), step.Pos.Y.Points(), step.Radius.Points()
	n := max(1, int(math.Ceil(math.Abs(step.Angle)/(math.Pi/2))))
	each := step.Angle / float64(n)
	k := 4.0 / 3 * math.Tan(each/4) // length of the controls of a curve that follows a circle of radius 1
	sin, cos := math.Sincos(step.Start)
	op := byte('L')
	if len(all) == 0 {
		op = 'M'
	}
	all = append(all, Move{Op: op, At: [3]Point{c.at(x+r*cos, y+r*sin)}})
	for i := range n {
		s2, c2 := math.Sincos(step.Start + each*float64(i+1))
		all = append(all, Move{Op: 'C', At: [3]Point{
			c.at(x+r*(cos-k*sin), y+r*(sin+k*cos)), c.at(x+r*(c2+k*s2), y+r*(s2-k*c2)), c.at(x+r*c2, y+r*s2)}})
		sin, cos = s2, c2
	}
	return all
}

func (c *canvas) FillString(f font.Face, pt vg.Point, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	m := c.now().m
	p := c.at(pt.X.Points(), pt.Y.Points())
	c.pen.Text(p.X, p.Y, math.Atan2(m[1], m[0])*180/math.Pi, f.Font.Size.Points(), f.Width(s).Points(), f.Font.Weight > 0, c.now().line.Grey, s)
}

func (c *canvas) DrawImage(vg.Rectangle, image.Image) {
	panic("picture: no plot of ours holds an image")
}
