package paper

// A column of a table: its share of the width, and how it is set.
type column struct {
	head   string
	share  float64
	number bool // set from the right
	bold   bool
}

// A cell is a text, struck through or not.
type cell struct {
	text   string
	struck bool
	bold   bool
}

// table sets rows across a width under a head that comes again on each page. A row of one cell is a title among them.
func (f *folio) table(across float64, columns []column, rows [][]cell) {
	const between = 8.0
	size := f.small
	pad := size - 6.3 // less between smaller letters
	line := size * 1.28
	sum := 0.0
	for _, c := range columns {
		sum += c.share
	}
	starts, widths := make([]float64, len(columns)), make([]float64, len(columns))
	x := left
	for i, c := range columns {
		widths[i] = c.share / sum * across
		starts[i] = x
		x += widths[i]
		widths[i] -= between
	}
	style := func(bold bool) {
		if bold {
			f.font("sans", "B", size, 0)
		} else {
			f.font("sans", "", size, 0)
		}
	}
	head := func() {
		style(true)
		for i, c := range columns {
			at := starts[i]
			if c.number {
				at += widths[i] - f.pdf.GetStringWidth(c.head)
			}
			f.text(at, f.y+size, c.head)
		}
		f.y += line + pad
		f.rule(across, 1, 0)
	}
	f.room(4 * line)
	head()
	for i, row := range rows {
		if len(row) == 1 { // a title among the rows
			next := 0.0
			if i+1 < len(rows) {
				next = 2*line + 4*pad
			}
			if f.y+line+pad+next > f.h-bottom {
				f.turn()
				head()
			}
			f.y += pad
			style(true)
			f.text(left, f.y+size, f.lines(row[0].text, across)[0])
			f.y += line
			f.rule(across, 0.4, 150)
			continue
		}
		split, tall := make([][]string, len(row)), 1
		for i, c := range row {
			style(c.bold || columns[i].bold)
			split[i] = f.lines(c.text, widths[i])
			tall = max(tall, len(split[i]))
		}
		height := float64(tall)*line + 2*pad
		if f.y+min(height, f.h-top-bottom-2*line) > f.h-bottom {
			f.turn()
			head()
		}
		f.y += pad
		for n := range tall {
			if f.y+line > f.h-bottom { // a cell longer than a page goes on
				f.turn()
				head()
			}
			for i, c := range row {
				if n >= len(split[i]) {
					continue
				}
				style(c.bold || columns[i].bold)
				words := f.pdf.GetStringWidth(split[i][n])
				at := starts[i]
				if columns[i].number {
					at += widths[i] - words
				}
				f.text(at, f.y+size, split[i][n])
				if c.struck {
					f.stroke(at-1, f.y+size*0.66, at+words+1, f.y+size*0.66, 0.8, 0)
				}
			}
			f.y += line
		}
		f.y += pad
		f.rule(across, 0.4, 150)
	}
}

// rule draws a line from the left margin.
func (f *folio) rule(across, weight float64, grey int) {
	f.stroke(left, f.y, left+across, f.y, weight, grey)
}
