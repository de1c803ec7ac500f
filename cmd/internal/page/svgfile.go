package page

import (
	"html"
	"io"
	"strings"

	"kilopond/cmd/internal/picture"
	"kilopond/cmd/internal/render"
)

// headTall is how high the title stands above a picture in a file of its own, in points.
const headTall = 24

// WriteSVG writes a picture as a file of its own, on white, under its title, with what it shows in words for those who do not see it.
func WriteSVG(w io.Writer, d picture.Drawing) error {
	body := svgOf(d, picture.Sans())
	width, height := d.Size()
	box := num(width) + " " + num(height+headTall)
	body = strings.Replace(body, `<svg viewBox="0 0 `+num(width)+" "+num(height)+`"`,
		`<svg xmlns="http://www.w3.org/2000/svg" width="`+num(width)+`pt" height="`+num(height+headTall)+`pt" viewBox="0 -`+num(headTall)+" "+box+`"`, 1)
	said := `</title><desc id="picture-` + d.Name() + `-text">` + html.EscapeString(d.Text()) + `</desc>` +
		`<rect y="-` + num(headTall) + `" width="100%" height="100%" fill="#ffffff"/>` +
		`<text x="8" y="-9" font-size="11" font-weight="bold" fill="#000000" aria-hidden="true">` + html.EscapeString(d.Title()) + `</text>`
	body = strings.Replace(body, "</title>", said, 1)
	_, err := io.WriteString(w, render.Legible(body)+"\n")
	return err
}
