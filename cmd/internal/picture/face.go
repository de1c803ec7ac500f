package picture

import (
	"fmt"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// A Face is the typeface by which a picture measures its words.
type Face struct {
	cache *font.Cache
	font  font.Font
}

// Sans measures as the common sans-serif faces of screens do.
func Sans() *Face {
	return &Face{cache: font.NewCache(liberation.Collection()), font: font.Font{Typeface: "Liberation", Variant: "Sans"}}
}

// FaceOf measures by the bytes of a face and of its bold cut, in the form of OpenType.
func FaceOf(regular, bold []byte) (*Face, error) {
	r, err := opentype.Parse(regular)
	if err != nil {
		return nil, fmt.Errorf("picture: typeface: %w", err)
	}
	b, err := opentype.Parse(bold)
	if err != nil {
		return nil, fmt.Errorf("picture: bold typeface: %w", err)
	}
	f := font.Font{Typeface: "Own"}
	return &Face{cache: font.NewCache(font.Collection{
		{Font: f, Face: r}, {Font: font.Font{Typeface: "Own", Weight: xfont.WeightBold}, Face: b},
	}), font: f}, nil
}

// Sizes of letters in points: on a screen as wide as a page, they stand about as large as the text around them.
const (
	small  = 8
	medium = 8.5
)

// style is letters of a size.
func (f *Face) style(size float64, bold bool) text.Style {
	face := font.From(f.font, vg.Points(size))
	if bold {
		face.Weight = xfont.WeightBold
	}
	return text.Style{Color: black, Font: face, Handler: text.Plain{Fonts: f.cache}}
}

// blank is a plot in the face, without data.
func (f *Face) blank(x, y string) *plot.Plot {
	p := plot.New()
	handler := text.Plain{Fonts: f.cache}
	p.TextHandler = handler
	p.BackgroundColor = nil
	p.Title.TextStyle.Handler, p.Title.TextStyle.Font = handler, font.From(f.font, vg.Points(medium))
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Handler, a.Label.TextStyle.Font = handler, font.From(f.font, vg.Points(medium))
		a.Tick.Label.Handler, a.Tick.Label.Font = handler, font.From(f.font, vg.Points(small))
		a.Tick.Length = vg.Points(4)
		a.Padding = vg.Points(3)
	}
	p.Legend.TextStyle.Handler, p.Legend.TextStyle.Font = handler, font.From(f.font, vg.Points(small))
	p.X.Label.Text, p.Y.Label.Text = x, y
	return p
}
