package paper

import "kilopond/cmd/internal/picture"

// A quill draws a picture on a page: its corner at x, y, all lengths by a scale.
type quill struct {
	f           *folio
	x, y, scale float64
}

// draw puts a picture across the page, on a new one if this has no room, and its words below.
func (f *folio) draw(d picture.Drawing) {
	w, h := d.Size()
	scale, need := f.fit(d)
	f.room(need)
	f.say(d.Title(), voice{family: "sans", style: "B", size: bodySize})
	f.gap(2)
	d.Draw(&quill{f: f, x: left + (f.width()-w*scale)/2, y: f.y, scale: scale}, f.face)
	f.pdf.SetDashPattern(nil, 0)
	f.y += h*scale + 4
	f.say("The picture in words. "+d.Text(), voice{family: "sans", size: 8, grey: 60})
}

// fit is the scale of a picture on the page, and the height that must be free for it with the beginning of its words.
func (f *folio) fit(d picture.Drawing) (scale, need float64) {
	w, h := d.Size()
	scale = min(1, f.width()/w, (f.h-top-bottom-90)/h)
	return scale, h*scale + 4*bodySize*leading
}

func (q *quill) path(outline []picture.Move) {
	at := func(p picture.Point) (x, y float64) { return q.x + p.X*q.scale, q.y + p.Y*q.scale }
	for _, m := range outline {
		x, y := at(m.At[0])
		switch m.Op {
		case 'M':
			q.f.pdf.MoveTo(x, y)
		case 'L':
			q.f.pdf.LineTo(x, y)
		case 'C':
			x1, y1 := at(m.At[1])
			x2, y2 := at(m.At[2])
			q.f.pdf.CurveBezierCubicTo(x, y, x1, y1, x2, y2)
		case 'Z':
			q.f.pdf.ClosePath()
		}
	}
}

func (q *quill) Stroke(outline []picture.Move, line picture.Line) {
	p := q.f.pdf
	p.SetDrawColor(int(line.Grey), int(line.Grey), int(line.Grey))
	p.SetLineWidth(line.Width * q.scale)
	dash := make([]float64, len(line.Dash))
	for i, d := range line.Dash {
		dash[i] = d * q.scale
	}
	p.SetDashPattern(dash, 0)
	q.path(outline)
	p.DrawPath("D")
}

func (q *quill) Fill(outline []picture.Move, grey uint8) {
	q.f.pdf.SetFillColor(int(grey), int(grey), int(grey))
	q.path(outline)
	q.f.pdf.DrawPath("F")
}

func (q *quill) Text(x, y, degrees, size, _ float64, bold bool, grey uint8, s string) {
	style := ""
	if bold {
		style = "B"
	}
	q.f.font("sans", style, size*q.scale, int(grey))
	px, py := q.x+x*q.scale, q.y+y*q.scale
	if degrees != 0 {
		q.f.pdf.TransformBegin()
		q.f.pdf.TransformRotate(degrees, px, py)
		defer q.f.pdf.TransformEnd()
	}
	q.f.pdf.Text(px, py, q.f.printable(s))
}
