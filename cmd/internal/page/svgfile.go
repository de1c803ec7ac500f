package page

import (
	"html"
	"io"
	"strings"

	"kilopond/cmd/internal/picture"
)

// WriteSVG writes a picture as a file of its own, on white, with its title and what it shows in words.
func WriteSVG(w io.Writer, d picture.Drawing) error {
	body := svgOf(d, picture.Sans())
	width, height := d.Size()
	body = strings.Replace(body, "<svg ", `<svg xmlns="http://www.w3.org/2000/svg" width="`+num(width)+`pt" height="`+num(height)+`pt" `, 1)
	said := `</title><desc id="picture-` + d.Name() + `-text">` + html.EscapeString(d.Text()) + `</desc><rect width="100%" height="100%" fill="#ffffff"/>`
	body = strings.Replace(body, "</title>", said, 1)
	_, err := io.WriteString(w, body+"\n")
	return err
}
