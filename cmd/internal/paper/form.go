package paper

import (
	"strings"
)

// Pieces of a form: places to write on, boxes to tick, lines. Coordinates are points from the top left corner of the page.

// put sets a text with its base line at y.
func (f *folio) put(x, y, size float64, style string, grey int, s string) {
	f.font("sans", style, size, grey)
	f.text(x, y, f.printable(s))
}

// hand sets what would be written by hand.
func (f *folio) hand(x, y, size float64, s string) {
	f.handFont(size, s)
	f.text(x, y, f.printable(s))
}

// handFont sets the letters in which s stands as if written by hand. The typeface for that has fewer letters than the other, which takes its place then.
func (f *folio) handFont(size float64, s string) {
	family := "mono"
	if settable(f.hands, s) != f.printable(s) {
		family = "sans"
	}
	f.font(family, "", size, 0)
}

// breadth is how wide a text is.
func (f *folio) breadth(size float64, style, s string) float64 {
	f.font("sans", style, size, 0)
	return f.pdf.GetStringWidth(f.printable(s))
}

func (f *folio) stroke(x1, y1, x2, y2, weight float64, grey int) {
	if !f.set {
		return
	}
	f.pdf.SetDrawColor(grey, grey, grey)
	f.pdf.SetLineWidth(weight)
	f.pdf.Line(x1, y1, x2, y2)
}

func (f *folio) frame(x, y, w, h, weight float64, grey int) {
	if !f.set {
		return
	}
	f.pdf.SetDrawColor(grey, grey, grey)
	f.pdf.SetLineWidth(weight)
	f.pdf.Rect(x, y, w, h, "D")
}

// tick is a box to tick with a word behind it; it returns where the word ends.
func (f *folio) tick(x, y, size float64, word string) float64 {
	f.frame(x, y-size*0.8, size*0.85, size*0.85, 0.7, 60)
	f.put(x+size*1.2, y, size, "", 0, word)
	return x + size*1.2 + f.breadth(size, "", word)
}

// A field is a place to write: its name, its unit, and what stands there already.
type field struct {
	name, unit, value string
	share             float64
}

// fields sets places to write side by side across the page: the name above, the line below, the unit at its end.
func (f *folio) fields(across float64, list ...field) {
	const nameSize, unitSize, tall = 7, 7.5, 25
	f.room(tall)
	sum := 0.0
	for _, x := range list {
		sum += x.share
	}
	x := left
	for _, one := range list {
		w := one.share/sum*(across+8) - 8
		f.put(x, f.y+nameSize, nameSize, "", 70, one.name)
		base := f.y + tall - 4
		f.stroke(x, base, x+w, base, 0.6, 60)
		if one.unit != "" {
			f.put(x+w-f.breadth(unitSize, "", one.unit), base-2.5, unitSize, "", 70, one.unit)
		}
		if one.value != "" {
			f.handFont(9, one.value)
			f.text(x+1, base-2.5, f.clipped(one.value, w-2-8*min(1, float64(len(one.unit)))))
		}
		x += w + 8
	}
	f.y += tall
}

// part begins a part of a form.
func (f *folio) part(title, note string) {
	f.gap(5)
	f.put(left, f.y+9.5, 9.5, "B", 0, title)
	if note != "" {
		f.put(left+f.breadth(9.5, "B", title)+8, f.y+9.5, 7.5, "", 70, note)
	}
	f.y += 12.5
	f.rule(f.width(), 0.9, 0)
	f.y += 3
}

// open is a head of a paper: what it is, for whom, and the code that it goes by.
func (f *folio) open(title, code, under string) {
	const tall, wide = 30, 96
	f.put(left, f.y+16, 18, "B", 0, title)
	room := f.width()
	if code != "" {
		room -= wide + 10
	}
	f.font("sans", "", 8.5, 60)
	f.text(left, f.y+28, f.clipped(under, room))
	if code != "" {
		x := left + f.width() - wide
		f.frame(x, f.y-2, wide, tall, 1.2, 0)
		f.put(x+5, f.y+6, 6.5, "", 70, "code")
		f.font("mono", "", 19, 0)
		f.text(x+wide-8-f.pdf.GetStringWidth(code), f.y+20, code)
	}
	f.y += tall + 6
}

// clipped is a text that fits a width in the letters that are set, cut with dots where it must be.
func (f *folio) clipped(s string, width float64) string {
	s = f.printable(s)
	if f.pdf.GetStringWidth(s) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && f.pdf.GetStringWidth(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// wrapped breaks a text in a small size and returns its lines.
func (f *folio) wrapped(size, width float64, s string) []string {
	f.font("sans", "", size, 0)
	var all []string
	for _, p := range strings.Split(s, "\n") {
		all = append(all, f.lines(p, width)...)
	}
	return all
}
