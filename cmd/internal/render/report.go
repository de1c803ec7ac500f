package render

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"kilopond/grader"
)

// Caution is the line that stands wherever advice could be read into what the tool says.
const Caution = "For teaching on synthetic subjects. A real test needs trained staff, screening, an emergency plan, and the rules of your institution and of licensed practice."

// Report writes the verdict on an attempt as text of 80 columns.
func Report(w io.Writer, r grader.Report) error { return WriteOutline(w, OutlineOf(r)) }

// WriteOutline writes a report as text of 80 columns, or fewer where the place has no more.
func WriteOutline(w io.Writer, o Outline) error {
	p := &printer{w: NewNarrow(w)}
	p.head(o.Title)
	p.par(o.Subject)
	for _, s := range o.Sections {
		p.head(s.Title)
		for _, b := range s.Blocks {
			p.blockOf(b)
		}
	}
	p.line("")
	p.par(o.Caution)
	return p.err
}

func (p *printer) blockOf(b Block) {
	switch b := b.(type) {
	case Say:
		p.par(b.Text)
	case Bullets:
		for _, i := range b.Items {
			p.line(Wrap(i, textWidth, "- ", "  ")...)
		}
	case Steps:
		p.line(b.Title)
		for _, s := range b.Items {
			p.line(Wrap(s, textWidth, "  ", "    ")...)
		}
		for _, n := range b.Notes {
			p.line(Wrap("note: "+n, textWidth, "  ", "    ")...)
		}
	case Grid:
		p.grid(b)
	case Group:
		p.group(b)
	case Sheet:
		for _, row := range b.Rows {
			p.line(Wrap(row.Line(), textWidth, fmt.Sprintf("%3d  ", row.Number), "     ")...)
		}
	case Course:
		for _, m := range b.Rows {
			text := m.Text
			if m.Kind == string(grader.KindCould) {
				text = fmt.Sprintf("could have (%d): %s", m.Finding, m.Text)
			}
			p.line(Wrap(fmt.Sprintf("[%s] %s", m.Where, text), textWidth, fmt.Sprintf("%6s  ", m.Clock), strings.Repeat(" ", 8))...)
		}
	case Drawn:
		p.par(b.Drawing.Title() + ": " + b.Drawing.Text())
	case Choices:
		for _, c := range b.Items {
			p.line(c.What+":", "  "+c.Command)
		}
	}
}

func (p *printer) grid(g Grid) {
	if g.Between == "" {
		if p.err == nil {
			p.err = g.text(p.w)
		}
		p.par(g.Caption)
		return
	}
	p.par(g.Caption)
	for _, r := range g.Rows {
		p.line(Wrap(strings.Join(slices.DeleteFunc(slices.Clone(r[1:]), func(c string) bool { return c == "" }), g.Between), textWidth, r[0]+"  ", "    ")...)
	}
}

// textWidth is how long a line of text may be.
const textWidth = 78

func (p *printer) group(g Group) {
	p.line(Wrap(g.Title, textWidth, "* ", "  ")...)
	for _, f := range g.Items {
		p.line(Wrap(fmt.Sprintf("%s, %s (%s; %s)", f.Part, f.Where, f.Rule, f.Cost), textWidth, fmt.Sprintf("%d. ", f.Number), "   ")...)
		p.line(Wrap(strings.Join([]string{f.Known, f.Did, f.Should}, " "), textWidth, "   ", "   ")...)
		why := f.Why
		if len(f.Sources) > 0 {
			why += " [" + strings.Join(f.Sources, ", ") + "]"
		}
		p.line(Wrap(why, textWidth, "   ", "   ")...)
	}
}

// Line is an entry as it stands on the paper.
func (s SheetRow) Line() string {
	text := fmt.Sprintf("%s %s%s", s.Box, s.Wrote, s.Unit)
	if s.Place != "" {
		text = s.Place + ": " + text
	}
	if s.Struck {
		text += " (struck out)"
	}
	return text
}
