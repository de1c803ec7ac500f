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
		"right":   func(right []bool, i int) bool { return i < len(right) && right[i] },
		"cost":    func(s string) []string { return strings.SplitN(s, "; ", 2) },
	}).Parse(layout)
	if err != nil {
		return fmt.Errorf("page: %w", err)
	}
	return t.Execute(render.NewPlain(w), o)
}

// kindOf names the type of a block for the layout.
func kindOf(b render.Block) string {
	return strings.TrimPrefix(fmt.Sprintf("%T", b), "render.")
}
