package paper

import (
	"fmt"
	"io"
	"strings"

	"kilopond/cmd/internal/render"
)

// Write writes the report as PDF on a size of Sizes.
func Write(w io.Writer, o render.Outline, size string) error {
	f, err := newFolio(size, o.Title+": "+o.Subject, o.Caution)
	if err != nil {
		return err
	}
	f.say("Kilopond · proctor’s notebook", voice{family: "sans", size: 8.5, grey: 70})
	f.say(o.Title, voice{family: "sans", style: "B", size: 20})
	f.say(o.Subject, voice{family: "sans", size: 11})
	for _, s := range o.Sections {
		f.section(s)
	}
	return f.close(w)
}

func (f *folio) section(s render.Section) {
	f.gap(12)
	need := 70.0
	if d, ok := s.Blocks[0].(render.Drawn); ok {
		_, h := f.fit(d.Drawing)
		need = 32 + h
	}
	f.room(need)
	f.pdf.Bookmark(f.printable(s.Title), 0, f.y)
	f.say(s.Title, voice{family: "sans", style: "B", size: 13})
	f.rule(f.width(), 1.2, 0)
	f.gap(5)
	for _, b := range s.Blocks {
		f.block(b)
	}
}

func (f *folio) block(b render.Block) {
	switch b := b.(type) {
	case render.Say:
		v := plainVoice()
		if b.Strong {
			v.style = "B"
		}
		f.say(b.Text, v)
		f.gap(2)
	case render.Bullets:
		for _, i := range b.Items {
			f.say("•  "+i, voice{family: "sans", size: bodySize, hang: 10})
		}
	case render.Steps:
		f.gap(4)
		f.say(b.Title, voice{family: "sans", style: "B", size: bodySize, keep: 24})
		for i, s := range b.Items {
			f.say(fmt.Sprintf("%d.  %s", i+1, s), voice{family: "sans", size: bodySize, indent: 8, hang: 16})
		}
		for _, n := range b.Notes {
			f.say("Note: "+n, voice{family: "sans", size: 8.5, grey: 60, indent: 8, hang: 16})
		}
		f.gap(4)
	case render.Grid:
		f.grid(b)
	case render.Group:
		f.group(b)
	case render.Sheet:
		f.sheet(b)
	case render.Course:
		f.course(b)
	case render.Drawn:
		f.gap(4)
		f.draw(b.Drawing)
		f.gap(6)
	case render.Choices:
		for _, c := range b.Items {
			f.say(c.What, voice{family: "sans", size: bodySize, keep: 14})
			f.say(c.Command, voice{family: "mono", size: 9, indent: 14, hang: 10})
			f.gap(3)
		}
	}
}

func (f *folio) group(g render.Group) {
	f.gap(4)
	f.say(g.Title, voice{family: "sans", style: "B", size: 11, keep: 60})
	for _, i := range g.Items {
		f.gap(3)
		f.say(fmt.Sprintf("%d   %s, %s", i.Number, i.Part, i.Where), voice{family: "sans", style: "B", size: bodySize, keep: 36})
		f.say(fmt.Sprintf("%s; rule %s", i.Cost, i.Rule), voice{family: "sans", size: 8.5, grey: 60, indent: 16})
		part := func(name, text string) {
			if text != "" {
				f.say(name+": "+text, voice{family: "sans", size: bodySize, indent: 16, hang: 12})
			}
		}
		part("You could know", i.Known)
		part("You did", i.Did)
		part("Right", i.Should)
		part("Why", i.Why)
		part("Written in", strings.Join(i.Sources, ", "))
	}
}

// grid sets a small table; the widths go by what stands in the columns.
func (f *folio) grid(g render.Grid) {
	f.say(g.Caption, voice{family: "sans", size: 8.5, grey: 60, keep: 40})
	f.gap(2)
	columns := make([]column, len(g.Header))
	sum := 0.0
	for i, h := range g.Header {
		longest := len([]rune(h))
		for _, r := range g.Rows {
			longest = max(longest, len([]rune(r[i])))
		}
		columns[i] = column{head: h, share: float64(min(max(longest, 3), 58)) + 3, number: i < len(g.Right) && g.Right[i], bold: i == 0}
		if i == 0 {
			columns[i].share *= 1.2 // it is bold
		}
		sum += columns[i].share
	}
	rows := make([][]cell, len(g.Rows))
	for i, r := range g.Rows {
		for _, c := range r {
			rows[i] = append(rows[i], cell{text: c})
		}
	}
	f.table(min(f.width(), 6*sum), columns, rows)
	f.gap(4)
}

func (f *folio) sheet(s render.Sheet) {
	var rows [][]cell
	for _, r := range s.Rows {
		text := cell{text: r.Wrote + r.Unit, struck: r.Struck}
		mark := cell{}
		if r.Struck {
			mark.text = "struck out"
		}
		rows = append(rows, []cell{{text: fmt.Sprint(r.Number)}, {text: r.Clock}, {text: r.Place}, {text: r.Box}, text, mark})
	}
	f.table(f.width(), []column{{head: "no.", share: 5, number: true}, {head: "clock", share: 7, number: true}, {head: "place", share: 20},
		{head: "box", share: 22}, {head: "written", share: 34}, {head: "", share: 11}}, rows)
}

func (f *folio) course(c render.Course) {
	f.say("What was done, read, seen and said, in order. A mark shows what came unasked, and where a finding says what could have been done.",
		voice{family: "sans", size: 8.5, grey: 60, keep: 40})
	f.gap(2)
	var rows [][]cell
	for _, r := range c.Rows {
		mark := cell{text: r.Mark(), bold: true}
		rows = append(rows, []cell{{text: r.Clock}, {text: r.Where}, mark, {text: r.Text, bold: r.Unasked()}})
	}
	f.table(f.width(), []column{{head: "clock", share: 7, number: true}, {head: "place", share: 19}, {head: "mark", share: 12}, {head: "what", share: 60}}, rows)
}
