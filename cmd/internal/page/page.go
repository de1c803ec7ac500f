package page

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"kilopond/cmd/internal/picture"
	"kilopond/cmd/internal/render"
)

//go:embed report.html.tmpl
var layout string

//go:embed report.css
var look string

// Write writes the report as one page.
func Write(w io.Writer, o render.Outline) error {
	face := picture.Sans()
	t, err := template.New("report").Funcs(template.FuncMap{
		"kind":    kindOf,
		"picture": func(d picture.Drawing) template.HTML { return template.HTML(svgOf(d, face)) },
		"look":    func() template.CSS { return template.CSS(look) },
		"last":    func(i int, rows [][]string) bool { return i == len(rows)-1 },
		"right":   func(right []bool, i int) bool { return i < len(right) && right[i] },
		"marks":   marks,
		"cost":    func(s string) []string { return strings.SplitN(s, "; ", 2) },
		"wide":    func(s render.Section) bool { return s.ID == "course" || s.ID == "calculation" },
	}).Parse(layout)
	if err != nil {
		return fmt.Errorf("page: %w", err)
	}
	return t.Execute(w, o)
}

// kindOf names the type of a block for the layout.
func kindOf(b render.Block) string {
	return strings.TrimPrefix(fmt.Sprintf("%T", b), "render.")
}

// marks is what stands before a row of the time line, so that its kind is told by a sign and a word, not by colour.
func marks(kind string) string {
	switch kind {
	case "said":
		return "said"
	case "showed":
		return "seen"
	case "could":
		return "could"
	}
	return ""
}
