package picture

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Greys of the pictures. The darkest that carries no meaning of its own is far enough from black to be told on paper.
var (
	black = color.Gray{Y: 0}
	grey  = color.Gray{Y: 110}
	pale  = color.Gray{Y: 236}
)

// A Stage is one stage as the line sees it.
type Stage struct {
	Number   int
	WorkRate float64   // kg·m/min
	HR       float64   // bpm; 0 when there is none
	Minutes  []float64 // the counts of the stage, bpm
	Used     bool      // by the worked answer
	Chosen   bool      // by the student
	Why      string
}

// A Reach is a line carried to the maximum: work rate and heart rate at its end.
type Reach struct{ WorkRate, HR float64 }

// An Extrapolation is heart rate against work rate, with the line carried to the predicted maximum. What is 0 or nil is not known.
type Extrapolation struct {
	Stages           []Stage
	MaxHR, Ceiling   float64 // bpm
	WindowLow        float64 // bpm
	WindowHigh       float64
	Slope, Intercept float64 // of the worked line
	Worked           *Reach
	Student          *Reach
}

func (e Extrapolation) Name() string  { return "line" }
func (e Extrapolation) Title() string { return "Heart rate against work rate" }

func (e Extrapolation) Size() (w, h float64) { return width, 330 }

// differ says whether the student's line goes elsewhere than the worked one: by more than can be seen.
func (e Extrapolation) differ() bool {
	if e.Student == nil || e.Worked == nil {
		return e.Student != nil
	}
	if math.Abs(e.Student.WorkRate-e.Worked.WorkRate) > 0.01*e.Worked.WorkRate || math.Abs(e.Student.HR-e.Worked.HR) > 0.5 {
		return true
	}
	for _, s := range e.Stages {
		if s.Used != s.Chosen && e.anyChosen() {
			return true
		}
	}
	return false
}

func (e Extrapolation) anyChosen() bool {
	for _, s := range e.Stages {
		if s.Chosen {
			return true
		}
	}
	return false
}

// Text says what the picture shows.
func (e Extrapolation) Text() string {
	var all []string
	for _, s := range e.Stages {
		if s.HR == 0 {
			all = append(all, fmt.Sprintf("Stage %d at %s kg·m/min has no heart rate.", s.Number, plain(s.WorkRate)))
			continue
		}
		all = append(all, fmt.Sprintf("Stage %d: %s bpm at %s kg·m/min, %s.", s.Number, plain(s.HR), plain(s.WorkRate), s.standing(e.anyChosen())))
	}
	if len(all) == 0 {
		all = append(all, "No stage was ridden, so there are no points.")
	}
	if e.MaxHR > 0 {
		all = append(all, fmt.Sprintf("Level lines: predicted maximum %s bpm, ceiling %s bpm. The window for the line is %s–%s bpm.",
			plain(e.MaxHR), plain(e.Ceiling), plain(e.WindowLow), plain(e.WindowHigh)))
	}
	switch {
	case e.Worked != nil && e.Student != nil && !e.differ():
		all = append(all, fmt.Sprintf("Your line and the worked one agree: both reach the maximum at about %s kg·m/min.", whole(e.Worked.WorkRate)))
	default:
		if e.Worked != nil {
			all = append(all, fmt.Sprintf("The worked line reaches %s bpm at %s kg·m/min.", plain(e.Worked.HR), whole(e.Worked.WorkRate)))
		} else {
			all = append(all, "No line can be worked from these points.")
		}
		if e.Student != nil {
			all = append(all, fmt.Sprintf("Yours ends at %s bpm and %s kg·m/min.", plain(e.Student.HR), whole(e.Student.WorkRate)))
		} else {
			all = append(all, "You gave no maximal work rate, so no line of yours is drawn.")
		}
	}
	return strings.Join(all, " ")
}

// standing says whether a point is on the line, and why not.
func (s Stage) standing(chosen bool) string {
	switch {
	case s.Used && (s.Chosen || !chosen):
		return "used"
	case s.Used:
		return "used in the worked answer, not by you"
	case s.Chosen:
		return "used by you, not in the worked answer: " + s.Why
	}
	return "not used: " + s.Why
}

// Draw puts the picture on a face.
func (e Extrapolation) Draw(pen Pen, face *Face) {
	p := face.blank("work rate, kg·m/min", "heart rate, bpm")
	e.scale(p)
	p.Add(&levels{e: e, face: face})
	differ := e.differ()
	if e.Worked != nil {
		from := 0.0
		if e.Slope > 0 { // from below the lowest point that is used
			from = math.Max(0, e.lowest()-60)
		}
		p.Add(stroke(solid, plotter.XY{X: from, Y: e.Intercept + e.Slope*from}, plotter.XY{X: e.Worked.WorkRate, Y: e.Worked.HR}))
		p.Add(stroke(dotted, plotter.XY{X: e.Worked.WorkRate, Y: e.Worked.HR}, plotter.XY{X: e.Worked.WorkRate, Y: p.Y.Min}))
	}
	if e.Student != nil && differ {
		start := e.start()
		p.Add(stroke(dashed, start, plotter.XY{X: e.Student.WorkRate, Y: e.Student.HR}))
		p.Add(stroke(dotted, plotter.XY{X: e.Student.WorkRate, Y: e.Student.HR}, plotter.XY{X: e.Student.WorkRate, Y: p.Y.Min}))
	}
	p.Add(&stagePoints{e: e, face: face}, &ends{e: e, face: face, differ: differ})
	w, h := e.Size()
	keyH := 34.0
	dc := newCanvas(pen, w, h)
	p.Draw(draw.Crop(dc, 0, -vg.Points(6), vg.Points(keyH), -vg.Points(4)))
	e.key(draw.Crop(dc, vg.Points(44), 0, 0, -vg.Points(h-keyH)), face, differ)
}

// start is where the student's line begins: the lowest point that the student named, else that of the worked line.
func (e Extrapolation) start() plotter.XY {
	for _, s := range e.Stages {
		if s.HR > 0 && (s.Chosen || !e.anyChosen() && s.Used) {
			return plotter.XY{X: s.WorkRate, Y: s.HR}
		}
	}
	for _, s := range e.Stages {
		if s.HR > 0 {
			return plotter.XY{X: s.WorkRate, Y: s.HR}
		}
	}
	return plotter.XY{}
}

func (e Extrapolation) lowest() float64 {
	for _, s := range e.Stages {
		if s.Used {
			return s.WorkRate
		}
	}
	return 0
}

// scale sets the axes so that everything is inside, on round numbers. An absurd number on the sheet does not squash the rest: its line leaves the picture.
func (e Extrapolation) scale(p *plot.Plot) {
	p.X.Min, p.X.Max = 0, 450
	p.Y.Min, p.Y.Max = 60, 200
	widen := func(x, hr float64) {
		p.X.Max = math.Max(p.X.Max, x+60)
		if hr > 0 {
			p.Y.Min, p.Y.Max = math.Min(p.Y.Min, hr-8), math.Max(p.Y.Max, hr+8)
		}
	}
	for _, s := range e.Stages {
		widen(s.WorkRate, s.HR)
	}
	widen(0, e.MaxHR)
	if e.Worked != nil {
		widen(e.Worked.WorkRate, e.Worked.HR)
	}
	if s := e.Student; s != nil {
		widen(math.Min(math.Max(0, s.WorkRate), math.Max(farthest, p.X.Max)), math.Min(math.Max(40, s.HR), 240))
	}
	p.X.Max = 150 * math.Ceil(p.X.Max/150)
	p.Y.Min, p.Y.Max = 10*math.Floor(p.Y.Min/10), 10*math.Ceil(p.Y.Max/10)
	each := 150.0
	for p.X.Max/each > 12 {
		each *= 2
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = every(each, 0), every(20, 0)
}

// farthest is the work rate to which a student's line widens the picture, in kg·m/min: more than anybody rides. Source: [CHOICE-PICTURE].
const farthest = 2400

// key explains the marks, below the plot.
func (e Extrapolation) key(c draw.Canvas, face *Face, differ bool) {
	k := keyRow{c: c, face: face, y: c.Max.Y - vg.Points(12), x: c.Min.X}
	k.glyph(draw.CircleGlyph{}, "a stage on the line")
	k.glyph(hollow{}, "a stage not used")
	k.glyph(dash{}, "a minute's count")
	if differ && e.anyChosen() {
		k.glyph(bigBox{}, "a stage you chose")
	}
	if e.Worked != nil {
		k.line(solid, "worked line")
	}
	if differ {
		k.line(dashed, "your line")
	}
}

// levels are the level lines and the window.
type levels struct {
	e    Extrapolation
	face *Face
}

func (l *levels) Plot(c draw.Canvas, p *plot.Plot) {
	if l.e.MaxHR == 0 {
		return
	}
	x, y := p.Transforms(&c)
	low, high := y(l.e.WindowLow), y(l.e.WindowHigh)
	c.FillPolygon(pale, []vg.Point{{X: c.Min.X, Y: low}, {X: c.Max.X, Y: low}, {X: c.Max.X, Y: high}, {X: c.Min.X, Y: high}})
	say := l.face.style(small, false)
	say.YAlign = draw.YBottom
	label := func(at vg.Length, words string) {
		c.FillText(say, vg.Point{X: c.Min.X + vg.Points(4), Y: at + vg.Points(1.5)}, words)
	}
	c.StrokeLine2(dotted, c.Min.X, low, c.Max.X, low)
	from := fmt.Sprintf("window from %s", plain(l.e.WindowLow))
	say.XAlign = draw.XRight // at the left the first stages lie about it
	c.FillText(say, vg.Point{X: l.freeRight(c, x, say.Width(from)), Y: low + vg.Points(1.5)}, from)
	say.XAlign = draw.XLeft
	if math.Abs(l.e.WindowHigh-l.e.Ceiling) > 0.5 {
		c.StrokeLine2(dotted, c.Min.X, high, c.Max.X, high)
		say.YAlign = draw.YTop
		c.FillText(say, vg.Point{X: c.Min.X + vg.Points(4), Y: high - vg.Points(1.5)}, fmt.Sprintf("window to %s", plain(l.e.WindowHigh)))
		say.YAlign = draw.YBottom
	}
	c.StrokeLine2(longDash, c.Min.X, y(l.e.Ceiling), c.Max.X, y(l.e.Ceiling))
	label(y(l.e.Ceiling), fmt.Sprintf("ceiling %s", plain(l.e.Ceiling)))
	c.StrokeLine2(thin, c.Min.X, y(l.e.MaxHR), c.Max.X, y(l.e.MaxHR))
	label(y(l.e.MaxHR), fmt.Sprintf("predicted maximum %s", plain(l.e.MaxHR)))
}

// freeRight is where words of a width end at the right without lying on a line that goes up from the axis.
func (l *levels) freeRight(c draw.Canvas, x func(float64) vg.Length, width vg.Length) vg.Length {
	const gap = 4
	var ups []vg.Length
	for _, r := range []*Reach{l.e.Worked, l.e.Student} {
		if r != nil {
			ups = append(ups, x(r.WorkRate))
		}
	}
	slices.Sort(ups)
	right := c.Max.X - vg.Points(gap)
	for _, up := range slices.Backward(ups) {
		if up > right-width-vg.Points(gap) && up < right+vg.Points(gap) {
			right = up - vg.Points(gap)
		}
	}
	return right
}

// stagePoints are the stages: full when on the worked line, with a box around those that the student chose where that differs.
type stagePoints struct {
	e    Extrapolation
	face *Face
}

func (s *stagePoints) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	say := s.face.style(small, true)
	say.XAlign, say.YAlign = draw.XLeft, draw.YTop
	for _, st := range s.e.Stages {
		for _, hr := range st.Minutes {
			c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(3), Shape: dash{}}, vg.Point{X: x(st.WorkRate), Y: y(hr)})
		}
		if st.HR == 0 {
			continue
		}
		at := vg.Point{X: x(st.WorkRate), Y: y(st.HR)}
		shape := draw.GlyphDrawer(hollow{})
		if st.Used {
			shape = draw.CircleGlyph{}
		}
		c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(3.5), Shape: shape}, at)
		if st.Chosen && s.e.differ() {
			c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(5), Shape: bigBox{}}, at)
		}
		c.FillText(say, at.Add(vg.Point{X: vg.Points(7.5), Y: -vg.Points(3)}), fmt.Sprint(st.Number))
	}
}

// ends label where the lines end.
type ends struct {
	e      Extrapolation
	face   *Face
	differ bool
}

func (n *ends) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	say := n.face.style(small, false)
	label := func(r Reach, words string, up vg.Length) {
		at := vg.Point{X: x(r.WorkRate), Y: y(r.HR)}
		if !c.Contains(at) {
			return
		}
		c.DrawGlyph(draw.GlyphStyle{Color: black, Radius: vg.Points(4), Shape: draw.CrossGlyph{}}, at)
		say.XAlign, say.YAlign = draw.XRight, draw.YBottom
		foot := vg.Point{X: at.X - vg.Points(3), Y: c.Min.Y + up}
		c.FillText(say, foot, words)
	}
	if n.e.Worked != nil {
		words := whole(n.e.Worked.WorkRate) + " worked"
		if n.e.Student != nil && !n.differ {
			words = whole(n.e.Worked.WorkRate)
		}
		label(*n.e.Worked, words, vg.Points(3))
	}
	if n.e.Student != nil && n.differ {
		label(*n.e.Student, whole(n.e.Student.WorkRate)+" yours", vg.Points(14))
	}
}
