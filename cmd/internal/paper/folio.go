package paper

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"codeberg.org/go-fonts/dejavu/dejavusansmono"
	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/sfnt"

	"kilopond/cmd/internal/picture"
)

// Sizes lists the papers.
func Sizes() []string { return []string{"a4", "letter"} }

// Margins in points. The left one holds the line of a notebook.
const (
	left, right, top, bottom = 62.0, 42.0, 48.0, 54.0
	bodySize                 = 9.5
	leading                  = 1.36 // line height over letter size
)

// A folio fills pages from the top down.
type folio struct {
	pdf    *fpdf.Fpdf
	glyphs *sfnt.Font
	hands  *sfnt.Font // of what is written by hand
	face   *picture.Face
	w, h   float64
	y      float64
	foot   string
	mark   string  // at the foot in the place of the page's number, when a book is a stack of papers
	goesOn string  // at the head of a page that goes on with what was begun
	set    bool    // else nothing is printed, and only room is taken
	turned int     // pages begun while nothing was printed
	small  float64 // letters of tables
}

// newFolio begins a book of a paper size on its first page. Nothing of it depends on when or where it is made.
func newFolio(size, title, foot string) (*folio, error) {
	f, err := emptyFolio(size, title, foot)
	if err != nil {
		return nil, err
	}
	f.turn()
	return f, f.pdf.Error()
}

// emptyFolio is one without a page.
func emptyFolio(size, title, foot string) (*folio, error) {
	if !slices.Contains(Sizes(), size) {
		return nil, fmt.Errorf("paper %q: not a size", size)
	}
	faces, err := typefaces(dejavusanscondensed.TTF, dejavusansmono.TTF)
	if err != nil {
		return nil, fmt.Errorf("paper: typeface: %w", err)
	}
	face, err := picture.FaceOf(dejavusanscondensed.TTF, dejavusanscondensedbold.TTF)
	if err != nil {
		return nil, err
	}
	p := fpdf.New("P", "pt", size, "")
	f := &folio{pdf: p, glyphs: faces[0], hands: faces[1], face: face, foot: foot, set: true, small: tableSize}
	p.SetCatalogSort(true)
	epoch := time.Unix(0, 0).UTC()
	p.SetCreationDate(epoch)
	p.SetModificationDate(epoch)
	p.SetProducer("Kilopond", true)
	p.SetTitle(f.printable(title), true)
	p.SetLang("en")
	// The library writes into the bytes it is given, so each book has its own.
	p.AddUTF8FontFromBytes("sans", "", slices.Clone(dejavusanscondensed.TTF))
	p.AddUTF8FontFromBytes("sans", "B", slices.Clone(dejavusanscondensedbold.TTF))
	p.AddUTF8FontFromBytes("mono", "", slices.Clone(dejavusansmono.TTF))
	p.SetMargins(left, top, right)
	p.SetAutoPageBreak(false, bottom)
	p.SetCellMargin(0)
	p.AliasNbPages(pages)
	f.w, f.h = p.GetPageSize()
	return f, p.Error()
}

// pages stands for the number of pages until that is known. No text of a report can hold it: its letter is for private use.
const pages = "\ue000"

// turn begins a new page.
func (f *folio) turn() {
	if !f.set {
		f.turned++
		f.head()
		return
	}
	p := f.pdf
	p.AddPage()
	p.SetDrawColor(120, 120, 120)
	p.SetLineWidth(0.5)
	p.Line(left-16, 0, left-16, f.h)
	p.Line(left-13.5, 0, left-13.5, f.h)
	f.font("sans", "", 7.5, 70)
	y := f.h - bottom + 20
	for _, l := range f.lines(f.foot, f.w-left-right-max(60, 14+p.GetStringWidth(f.printable(f.mark)))) {
		p.Text(left, y, l)
		y += 9.5
	}
	if f.mark != "" {
		mark := f.printable(f.mark)
		p.Text(f.w-right-p.GetStringWidth(mark), f.h-bottom+20, mark)
	} else {
		number := fmt.Sprintf("%d of ", p.PageNo())
		p.Text(f.w-right-p.GetStringWidth(number)-12, f.h-bottom+20, number+pages)
	}
	f.head()
}

// head says what goes on, at the top of a page.
func (f *folio) head() {
	f.y = top
	if f.goesOn != "" {
		f.put(left, f.y+8.5, 8.5, "B", 60, f.goesOn)
		f.y += 16
	}
}

// text prints in the letters that are set, with the base line at y.
func (f *folio) text(x, y float64, s string) {
	if f.set {
		f.pdf.Text(x, y, s)
	}
}

// measured reports how many pages more something takes, and prints nothing.
func (f *folio) measured(what func()) int {
	y := f.y
	f.set, f.turned = false, 0
	what()
	f.set, f.y = true, y
	return f.turned
}

// tableSize is how large the letters of a table are; leafSizes are those that are tried, the largest first, to bring something on one leaf.
// Source: [CHOICE-LETTERS].
const tableSize = 8.5

var leafSizes = []float64{tableSize, 8, 7.5}

// onOneLeaf sets what was begun on this page so that it ends on the back of its leaf, if smaller letters bring it there.
func (f *folio) onOneLeaf(what func()) {
	for _, f.small = range leafSizes {
		if f.measured(what) <= 1 {
			break
		}
	}
	if f.measured(what) > 1 {
		f.small = tableSize
	}
	what()
	f.small = tableSize
}

func (f *folio) font(family, style string, size float64, grey int) {
	f.pdf.SetFont(family, style, size)
	f.pdf.SetTextColor(grey, grey, grey)
}

// printable is what can be set of a text.
func (f *folio) printable(s string) string { return settable(f.glyphs, s) }

// lines breaks a text to a width in the letters that are set.
func (f *folio) lines(s string, width float64) []string {
	all := f.pdf.SplitText(f.printable(s), width)
	for i := range all {
		all[i] = strings.TrimSpace(all[i])
	}
	if len(all) == 0 {
		all = []string{""}
	}
	return all
}

// room turns the page unless so much is left on it.
func (f *folio) room(height float64) {
	if f.y+height > f.h-bottom {
		f.turn()
	}
}

func (f *folio) width() float64 { return f.w - left - right }

// A voice is how a paragraph is set.
type voice struct {
	family, style string
	size          float64
	grey          int
	indent        float64 // of all lines
	hang          float64 // of all lines but the first
	keep          float64 // how much must follow on the same page
}

func plainVoice() voice { return voice{family: "sans", size: bodySize} }

// say sets a paragraph.
func (f *folio) say(s string, v voice) {
	f.font(v.family, v.style, v.size, v.grey)
	line := v.size * leading
	rows := f.lines(s, f.width()-v.indent-v.hang)
	f.room(line*float64(min(len(rows), 2)) + v.keep)
	for i, row := range rows {
		f.room(line)
		f.font(v.family, v.style, v.size, v.grey) // a turned page has set its own
		x := left + v.indent
		if i > 0 {
			x += v.hang
		}
		f.text(x, f.y+v.size, row)
		f.y += line
	}
}

func (f *folio) gap(points float64) { f.y += points }

// close writes the book.
func (f *folio) close(w io.Writer) error {
	if err := f.pdf.Output(w); err != nil {
		return fmt.Errorf("paper: %w", err)
	}
	return nil
}
