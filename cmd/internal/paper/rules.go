package paper

import (
	"io"
	"strconv"
)

// A Rule is one line of the rules in force: what it asks or sets, and how it is called.
type Rule struct{ Text, Name string }

// A RulesPage is the rules of a house on one leaf, with what is asked of somebody who has a pack.
type RulesPage struct {
	Title, Subject, Caution string
	Asked                   [][2]string // what, and how; none for the wall
	Note                    string
	Rules                   []Rule
}

// Sizes of letters for the page of rules, the largest first: the first with which all stands on the two sides of one leaf is taken. More rules than
// that need more leaves. Source: [CHOICE-LETTERS].
const largestRule, smallestRule, ruleStep = 9.5, 7.25, 0.25

// An entry of the page is set in a column: a mark at its edge, the text behind it, and its name at the other edge. Without a text the mark is a title.
type entry struct {
	mark, text, name string
	hang             float64
}

// WriteRules writes the page on a size of paper of Sizes.
func WriteRules(w io.Writer, p RulesPage, size string) error {
	f, err := newFolio(size, p.Title+": "+p.Subject, p.Caution)
	if err != nil {
		return err
	}
	f.put(left, f.y+14, 17, "B", 0, p.Title)
	f.put(left, f.y+27, 9, "", 60, p.Subject)
	f.y += 33
	f.rule(f.width(), 1.2, 0)
	f.gap(4)
	var all []entry
	if len(p.Asked) > 0 {
		all = append(all, entry{mark: "What is asked"})
	}
	for _, a := range p.Asked {
		all = append(all, entry{mark: a[0], text: a[1], hang: 48})
	}
	all = append(all, entry{mark: "The rules in force"}, entry{text: p.Note})
	for i, r := range p.Rules {
		all = append(all, entry{mark: strconv.Itoa(i + 1), text: r.Text, name: r.Name, hang: 18})
	}
	letters := largestRule
	for letters > smallestRule && f.flow(all, letters, false) > 2 {
		letters -= ruleStep
	}
	f.flow(all, letters, true)
	return f.close(w)
}

// flow sets entries in two columns a page, or only counts the pages that they would take.
func (f *folio) flow(all []entry, size float64, set bool) (pagesTaken int) {
	const between = 16.0
	line, w := size*1.24, (f.width()-between)/2
	begin, y, column := f.y, f.y, 0
	pagesTaken = 1
	for i, e := range all {
		need := f.entry(e, left, y, w, size, false)
		if e.text == "" && i+1 < len(all) { // a title stays with what follows
			need += 2 * line
		}
		if y+need > f.h-bottom {
			if column++; column%2 == 0 {
				pagesTaken++
				begin = top
				if set {
					f.turn()
				}
			}
			y = begin
		}
		y += f.entry(e, left+float64(column%2)*(w+between), y, w, size, set)
	}
	return pagesTaken
}

// entry sets one entry, or only measures how high it is.
func (f *folio) entry(e entry, x, y, w, size float64, set bool) float64 {
	line, small := size*1.24, size-0.75
	if e.text == "" {
		if set {
			f.put(x, y+size+6, size+1.5, "B", 0, e.mark)
			f.stroke(x, y+size+9, x+w, y+size+9, 0.7, 0)
		}
		return size + 14
	}
	rows := f.wrapped(size, w-e.hang, e.text)
	name := f.breadth(small, "", e.name)
	if last := rows[len(rows)-1]; e.name != "" && f.breadth(size, "", last)+6+name > w-e.hang {
		rows = append(rows, "")
	}
	if set {
		if e.mark != "" {
			f.put(x, y+size, size, "B", 0, e.mark)
		}
		for i, l := range rows {
			f.put(x+e.hang, y+size+float64(i)*line, size, "", 0, l)
		}
		if e.name != "" {
			f.put(x+w-name, y+size+float64(len(rows)-1)*line, small, "", 80, e.name)
		}
	}
	return float64(len(rows))*line + size*0.22
}
