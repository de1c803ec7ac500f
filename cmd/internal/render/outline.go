package render

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/cmd/internal/picture"
	"kilopond/grader"
)

// An Outline is a report in order, for whatever face shows it: text, page or paper. All words are in it; a face adds only its form.
type Outline struct {
	Title    string
	Subject  string // who was tested, in a line
	Sections []Section
	Caution  string
}

// A Section is one part of a report under its heading.
type Section struct {
	ID     string // a name without blanks, the same in every report
	Title  string
	Blocks []Block
}

// After puts parts in behind the part of an id, at the end when there is none.
func (o *Outline) After(id string, parts ...Section) {
	at := len(o.Sections)
	for i, s := range o.Sections {
		if s.ID == id {
			at = i + 1
		}
	}
	o.Sections = slices.Insert(o.Sections, at, parts...)
}

// With adds flags to the commands of what now: to that of doing it over, to those of drills, and to those of skills, so that the next test is under
// the same house rules.
func (o *Outline) With(redo, drill, skill string) {
	for i := range o.Sections {
		s := &o.Sections[i]
		if s.ID != "next" {
			continue
		}
		for _, b := range s.Blocks {
			c, ok := b.(Choices)
			for j := range c.Items {
				switch command := c.Items[j].Command; {
				case strings.HasPrefix(command, redoCommand):
					c.Items[j].Command += redo
				case strings.HasPrefix(command, "kilopond drill "):
					c.Items[j].Command += drill
				case strings.HasPrefix(command, "kilopond skill "):
					c.Items[j].Command += skill
				}
			}
			if ok && skill != "" { // the rules are in the commands now
				s.Blocks = []Block{c}
			}
		}
	}
}

// A Block is one of the types below.
type Block interface{ block() }

type (
	// Say is a paragraph.
	Say struct {
		Text   string
		Strong bool
	}
	// Bullets is a list without order.
	Bullets struct{ Items []string }
	// Steps is a calculation, line by line, and what is to be noted of it.
	Steps struct {
		Title string
		Items []string
		Notes []string
	}
	// Grid is a small table. With Between it is told line by line where there is little room, the cells after the first apart by that.
	Grid struct {
		Caption string
		Between string
		Cited   bool // findings point at rows, by their first cells
		Table
	}
	// Group is findings that belong together.
	Group struct {
		ID    string
		Title string
		Items []FindingItem
	}
	// Sheet is the data sheet as it was written.
	Sheet struct{ Rows []SheetRow }
	// Course is the time line.
	Course struct{ Rows []CourseRow }
	// Drawn is a picture.
	Drawn struct{ Drawing picture.Drawing }
	// Choices are what can be done next.
	Choices struct{ Items []Choice }
)

// A FindingItem is one finding. Its number is that of the picture's marks too; 0 when it was charged elsewhere.
type FindingItem struct {
	Number             int
	Part, Where, Rule  string
	Cost               string // "−1.5 points", "closes the gate: a stop was missed"
	Known, Did, Should string
	Why                string
	Sources            []string
}

// A SheetRow is one entry of the sheet.
type SheetRow struct {
	Number      int
	Clock       string
	Place       string // "" for what belongs to no stage
	Box         string
	Wrote, Unit string
	Struck      bool
}

// A CourseRow is one row of the time line.
type CourseRow struct {
	Clock, Where string
	Kind         string // done, read, looked, showed, answered, said, could
	Finding      int    // of a row of what could have been done, when it has a number
	Text         string
}

// Unasked says whether the row is something that nobody had to look or ask for.
func (r CourseRow) Unasked() bool {
	return r.Kind == string(grader.KindSaid) || r.Kind == string(grader.KindShowed)
}

// Mark is the word that tells a row from the ordinary ones, or "".
func (r CourseRow) Mark() string {
	switch {
	case r.Finding > 0:
		return fmt.Sprintf("finding %d", r.Finding)
	case r.Kind == string(grader.KindSaid):
		return "said"
	case r.Kind == string(grader.KindShowed):
		return "seen"
	case r.Kind == string(grader.KindCould):
		return "could"
	}
	return ""
}

// A Choice is something to do next, and the command that does it.
type Choice struct{ What, Command string }

func (Say) block()     {}
func (Bullets) block() {}
func (Steps) block()   {}
func (Grid) block()    {}
func (Group) block()   {}
func (Sheet) block()   {}
func (Course) block()  {}
func (Drawn) block()   {}
func (Choices) block() {}
