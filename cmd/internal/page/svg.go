package page

import (
	"html"
	"math"
	"strconv"
	"strings"

	"kilopond/cmd/internal/picture"
)

// A svg is a pen that writes the elements of a picture. It uses attributes only, no styles, so that a page may forbid those.
type svg struct{ b strings.Builder }

// svgOf draws a picture as an element with its name and its text for those who do not see it.
func svgOf(d picture.Drawing, face *picture.Face) string {
	w, h := d.Size()
	s := &svg{}
	id := "picture-" + d.Name()
	s.b.WriteString(`<svg viewBox="0 0 ` + num(w) + " " + num(h) + `" role="img" aria-labelledby="` + id + `-title" aria-describedby="` + id + `-text" font-family="'Liberation Sans', Arial, Helvetica, sans-serif">`)
	s.b.WriteString(`<title id="` + id + `-title">` + html.EscapeString(d.Title()) + `</title>`)
	d.Draw(s, face)
	s.b.WriteString(`</svg>`)
	return s.b.String()
}

// num prints a length to a hundredth of a point.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

// ink is a grey as colour.
func ink(grey uint8) string {
	const digits = "0123456789abcdef"
	two := string([]byte{digits[grey>>4], digits[grey&15]})
	return "#" + two + two + two
}

func (s *svg) path(outline []picture.Move) {
	s.b.WriteString(`<path d="`)
	for _, m := range outline {
		s.b.WriteByte(m.Op)
		n := map[byte]int{'M': 1, 'L': 1, 'C': 3}[m.Op]
		for i := range n {
			if i > 0 {
				s.b.WriteByte(' ')
			}
			s.b.WriteString(num(m.At[i].X) + " " + num(m.At[i].Y))
		}
	}
	s.b.WriteByte('"')
}

func (s *svg) Stroke(outline []picture.Move, line picture.Line) {
	s.path(outline)
	s.b.WriteString(` fill="none" stroke="` + ink(line.Grey) + `" stroke-width="` + num(line.Width) + `"`)
	if len(line.Dash) > 0 {
		var parts []string
		for _, d := range line.Dash {
			parts = append(parts, num(d))
		}
		s.b.WriteString(` stroke-dasharray="` + strings.Join(parts, " ") + `"`)
	}
	s.b.WriteString("/>")
}

func (s *svg) Fill(outline []picture.Move, grey uint8) {
	s.path(outline)
	s.b.WriteString(` fill="` + ink(grey) + `"/>`)
}

// Text gives the width that was measured, so that another face in its place keeps the layout.
func (s *svg) Text(x, y, degrees, size, width float64, bold bool, grey uint8, words string) {
	s.b.WriteString(`<text x="` + num(x) + `" y="` + num(y) + `" font-size="` + num(size) + `" fill="` + ink(grey) + `"`)
	if bold {
		s.b.WriteString(` font-weight="bold"`)
	}
	if degrees != 0 {
		s.b.WriteString(` transform="rotate(` + num(-degrees) + " " + num(x) + " " + num(y) + `)"`)
	}
	if len([]rune(words)) > 1 {
		s.b.WriteString(` textLength="` + num(width) + `" lengthAdjust="spacingAndGlyphs"`)
	}
	s.b.WriteString(` aria-hidden="true">` + html.EscapeString(words) + `</text>`)
}
