package picture

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Cloud is the heart rates of a class against work rate, a mark for each stage of each test.
type Cloud struct{ Stages []Reach }

func (c Cloud) Name() string         { return "heart-rates" }
func (c Cloud) Title() string        { return "Heart rate against work rate, the whole class" }
func (c Cloud) Size() (w, h float64) { return width, 320 }

// aside is how far the nth of equal marks stands beside its place, in kg·m/min: in turn to the right and to the left.
func aside(n int) float64 {
	step := 7 * float64((n+1)/2)
	if n%2 == 0 {
		step = -step
	}
	return max(-65, min(65, step))
}

// medians are the middle heart rates by work rate, in order.
func (c Cloud) medians() []Reach {
	by := map[float64][]float64{}
	for _, s := range c.Stages {
		by[s.WorkRate] = append(by[s.WorkRate], s.HR)
	}
	var all []Reach
	for _, work := range slices.Sorted(maps.Keys(by)) {
		hr := by[work]
		slices.Sort(hr)
		all = append(all, Reach{work, (hr[(len(hr)-1)/2] + hr[len(hr)/2]) / 2})
	}
	return all
}

// Text says what the picture shows.
func (c Cloud) Text() string {
	all := []string{fmt.Sprintf("%d stages, each at its work rate and heart rate; equal ones side by side.", len(c.Stages))}
	for _, m := range c.medians() {
		all = append(all, fmt.Sprintf("Middle heart rate at %s kg·m/min: %s bpm.", plain(m.WorkRate), plain(m.HR)))
	}
	return strings.Join(all, " ")
}

// Draw puts the picture on a face.
func (c Cloud) Draw(pen Pen, face *Face) {
	p := face.blank("work rate, kg·m/min", "heart rate, bpm")
	d := &dots{radius: dotSize(len(c.Stages))}
	met := map[Reach]int{}
	each := drawnEach(len(c.Stages))
	for i, s := range c.Stages {
		if i%each == 0 {
			d.x, d.y = append(d.x, s.WorkRate+aside(met[s])), append(d.y, s.HR)
			met[s]++
		}
	}
	low, high := around(d.y)
	p.X.Min, p.Y.Min, p.Y.Max = 0, min(60, low), max(160, high)
	_, p.X.Max = around(append(d.x, 450))
	p.X.Max += 70
	p.X.Tick.Marker, p.Y.Tick.Marker = every(150, 0), every(20, 0)
	p.Add(d)
	ms := &strokesAcross{}
	for _, m := range c.medians() {
		ms.at = append(ms.at, plotter.XY{X: m.WorkRate, Y: m.HR})
	}
	p.Add(ms)
	w, h := c.Size()
	dc := newCanvas(pen, w, h)
	p.Draw(draw.Crop(dc, 0, -vg.Points(6), vg.Points(18), -vg.Points(4)))
	k := &keyRow{c: draw.Crop(dc, vg.Points(44), 0, 0, -vg.Points(h-18)), face: face}
	k.x, k.y = k.c.Min.X, k.c.Min.Y+vg.Points(7)
	k.glyph(hollow{}, "one stage of one test")
	k.line(solid, "the middle of the class")
}
