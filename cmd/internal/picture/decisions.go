package picture

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Decisions are the mean credits of a class by rule, the lowest at the top.
type Decisions struct{ Rules []RuleCredit }

// A RuleCredit is one rule: mean credit, 0 to 1, over the students who reached it.
type RuleCredit struct {
	Rule     string
	Credit   float64
	Students int
}

// mostDecisions is how many rules are drawn: those that cost the class most.
const mostDecisions = 20

func (d Decisions) Name() string  { return "decisions" }
func (d Decisions) Title() string { return "Decisions that the class got wrong most often" }

// shown are the rules that cost something, the costliest first.
func (d Decisions) shown() []RuleCredit {
	list := slices.DeleteFunc(slices.Clone(d.Rules), func(r RuleCredit) bool { return r.Credit >= 0.9995 })
	slices.SortStableFunc(list, func(a, b RuleCredit) int { return cmp.Compare(a.Credit, b.Credit) })
	return list[:min(len(list), mostDecisions)]
}

func (d Decisions) Size() (w, h float64) { return width, 48 + 13*float64(max(1, len(d.shown()))) }

// Text says what the picture shows.
func (d Decisions) Text() string {
	list := d.shown()
	if len(list) == 0 {
		return "Every rule that was reached was kept by everybody."
	}
	var all []string
	for _, r := range list {
		all = append(all, fmt.Sprintf("%s: %s %% of the credit, %d students.", r.Rule, whole(100*r.Credit), r.Students))
	}
	if rest := len(d.Rules) - len(list); rest > 0 {
		all = append(all, fmt.Sprintf("%d other rules cost less or nothing.", rest))
	}
	return strings.Join(all, " ")
}

// Draw puts the picture on a face.
func (d Decisions) Draw(pen Pen, face *Face) {
	list := d.shown()
	p := face.blank("mean credit, %", "")
	p.X.Min, p.X.Max = 0, 112 // room for the words behind the bars
	p.X.Tick.Marker = plot.ConstantTicks([]plot.Tick{{Value: 0, Label: "0"}, {Value: 25, Label: "25"}, {Value: 50, Label: "50"}, {Value: 75, Label: "75"}, {Value: 100, Label: "100"}})
	p.Y.Min, p.Y.Max = -0.5, float64(max(1, len(list)))-0.5
	var ticks []plot.Tick
	for i, r := range list {
		ticks = append(ticks, plot.Tick{Value: float64(len(list) - 1 - i), Label: r.Rule})
	}
	p.Y.Tick.Marker = plot.ConstantTicks(ticks)
	p.Add(&bars{list: list, face: face})
	w, h := d.Size()
	p.Draw(draw.Crop(newCanvas(pen, w, h), vg.Points(4), -vg.Points(6), vg.Points(2), -vg.Points(4)))
}

// bars are level bars with how many students stand behind each.
type bars struct {
	list []RuleCredit
	face *Face
}

func (b *bars) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	say := b.face.style(small, false)
	say.YAlign = draw.YCenter
	for i, r := range b.list {
		mid := y(float64(len(b.list) - 1 - i))
		low, high, end := mid-vg.Points(3.5), mid+vg.Points(3.5), x(100*r.Credit)
		box := []vg.Point{{X: x(0), Y: low}, {X: end, Y: low}, {X: end, Y: high}, {X: x(0), Y: high}}
		c.FillPolygon(pale, box)
		c.StrokeLines(thin, append(box, box[0]))
		c.FillText(say, vg.Point{X: end + vg.Points(3), Y: mid}, fmt.Sprintf("%s (n %d)", whole(100*r.Credit), r.Students))
	}
}
