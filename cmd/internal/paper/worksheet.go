package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A Worksheet is the paper of one student: a person, known by a code.
type Worksheet struct {
	Code    string
	Student string // "" when it is not told
	Group   string
	Card    grader.Card
}

// A Stack is the papers of a class.
type Stack struct {
	Title   string
	Caution string
	Size    string // of Sizes
	Book    grader.Rulebook
	Given   bool // the readings stand on the sheet: for an exam, without partners
	Sheets  []Worksheet
}

// WriteWorksheets writes the stack: for each student the data sheet with its calculation on a leaf, then the partner's card on leaves of its own;
// and at the end, once for the class, the cards of the crew and the examiner's checklist. With given readings only the sheets.
func WriteWorksheets(w io.Writer, s Stack) error {
	f, err := emptyFolio(s.Size, s.Title, s.Caution)
	if err != nil {
		return err
	}
	for _, one := range s.Sheets {
		f.dataSheet(s, one)
		f.calculationPage(s, one)
		if !s.Given {
			f.partnerCard(s, one)
		}
	}
	if !s.Given {
		f.crewCards(s)
		f.checklist(s)
	}
	return f.close(w)
}

// evenLeaf leaves the back of a leaf blank, so that each paper can be printed on both sides and parted from the next.
func (f *folio) evenLeaf() {
	if f.pdf.PageNo()%2 == 1 {
		f.turn()
		f.put(left, f.y+8, 7.5, "", 120, "(this side stays blank)")
	}
}

// dataSheet is the page that is filled in during the test.
func (f *folio) dataSheet(s Stack, one Worksheet) {
	f.mark = one.Code + " · data sheet"
	f.turn()
	f.pdf.Bookmark(f.printable(one.Code+" "+one.Student), 0, 0)
	who := one.Student
	if one.Group != "" {
		who += ", " + one.Group
	}
	f.open("Data sheet", one.Code, s.Title+" · rules: "+s.Book.Name)
	f.fields(f.width(), field{"student", "", who, 44}, field{"crew", "", "", 34}, field{"date", "", "", 22})
	k := one.Card
	f.part("The person", fmt.Sprintf("%s, %s, %d years, %s", k.Subject.Name, sexWord(k.Subject.Sex), k.Subject.AgeY, k.Subject.Work))
	f.fields(f.width(), field{"mass", "kg", s.given(k.Mass, 1), 18}, field{"height", "cm", s.given(k.Height, 1), 18}, field{"arm around", "cm", s.given(k.Arm, 1), 18},
		field{"cuff", "", "", 18}, field{"knee at the lowest point", "°", "", 22}, field{"brake unloaded", "kp", "", 20})
	f.health(s, k)
	f.atRest(s, k)
	f.stageTable(s, k)
	f.ending(s, k)
}

// given is a number that stands on an exam's sheet, "" on one to be filled in.
func (s Stack) given(x float64, decimals int) string {
	if !s.Given || x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

func sexWord(sex string) string {
	if sex == string(unit.Female) {
		return "woman"
	}
	return "man"
}

// healthWords are the health questions in a few words, for the sheet. The questions themselves are on the partner's card.
var healthWords = map[string]string{
	"heart": "heart, blood pressure", "chest": "chest pain or tightness", "dizzy": "fainting, dizziness", "condition": "other illness", "medicines": "medicines",
	"joints": "bones, joints, muscles", "supervised": "exercise only supervised", "ill": "ill or feverish lately", "today": "food, drink, smoke today", "active": "usual exercise",
}

// health is the screening.
func (f *folio) health(s Stack, k grader.Card) {
	const row = 13.5
	f.part("Health and consent", "")
	if s.Given {
		for _, h := range k.Scenario.Health {
			f.put(left, f.y+8, 7.5, "", 60, healthWords[h.Key])
			for _, l := range f.wrapped(8, f.width()-112, "“"+h.Says+"”") {
				f.put(left+112, f.y+8, 8, "", 0, l)
				f.y += 9.8
			}
		}
		f.gap(3)
	} else {
		questions := scenarios.Questions()
		half := (len(questions) + 1) / 2
		w := f.width()/2 - 6
		for i, q := range questions {
			x, y := left+float64(i/half)*(w+12), f.y+float64(i%half)*row+9
			f.put(x, y, 8, "", 0, healthWords[q.Key])
			f.tick(x+104, y, 7.5, "no")
			f.stroke(x+128, y+1.5, x+w, y+1.5, 0.5, 90)
		}
		f.y += float64(half)*row + 3
	}
	x := f.tick(left, f.y+9, 8, "consent, asked and given")
	x = f.tick(x+26, f.y+9, 8, "test")
	for _, word := range []string{"rest and again", "another day", "a physician first", "no test"} {
		x = f.tick(x+12, f.y+9, 8, word)
	}
	f.put(x+12, f.y+9, 7, "", 70, "because")
	f.stroke(x+40, f.y+10.5, left+f.width(), f.y+10.5, 0.5, 90)
	f.y += 14
}

// atRest are the resting readings and what is worked out before the first turn of the pedals.
func (f *folio) atRest(s Stack, k grader.Card) {
	f.part("At rest, and worked out beforehand", "")
	var chair, cycle grader.CardRest
	for _, r := range k.Rest {
		if r.Where == "cycle" {
			cycle = r
		} else {
			chair = r
		}
	}
	beats := func(r grader.CardRest) string {
		if !s.Given || r.Beats == 0 {
			return ""
		}
		return fmt.Sprintf("%d in %d s", r.Beats, r.Seconds)
	}
	pressure := func(r grader.CardRest) string {
		if !s.Given {
			return ""
		}
		return r.Pressure
	}
	f.fields(f.width(), field{"pulse in the chair", "beats", beats(chair), 22}, field{"", "bpm", "", 14}, field{"pressure in the chair", "mmHg", pressure(chair), 24},
		field{"pulse on the cycle", "beats", beats(cycle), 22}, field{"", "bpm", "", 14}, field{"pressure on the cycle", "mmHg", pressure(cycle), 24})
	f.fields(f.width(), field{"predicted maximum", "bpm", "", 22}, field{"ceiling", "bpm", "", 18}, field{"ceiling as a count", fmt.Sprintf("beats in %d s", s.Book.Count.Seconds), "", 26},
		field{"limits of the bands as counts", fmt.Sprintf("beats in %d s", s.Book.Count.Seconds), "", 40})
}

// A stage's columns: as many minutes as usual and two more, or as many as an exam has to give.
func (s Stack) minutes(k grader.Card) int {
	n := s.Book.StageS/60 + min(2, s.Book.MaxExtensions)
	if s.Given {
		for _, st := range k.Stages {
			n = max(n, len(st.Minutes))
		}
	}
	return n
}

// stageTable is where the test is written down.
func (f *folio) stageTable(s Stack, k grader.Card) {
	f.part("The test", fmt.Sprintf("count %d s; upper line beats, lower line bpm", s.Book.Count.Seconds))
	n := s.minutes(k)
	widths := []float64{22, 58}
	heads := []string{"", "load"}
	for m := 1; m <= n; m++ {
		widths, heads = append(widths, 34), append(heads, fmt.Sprintf("minute %d", m))
	}
	widths, heads = append(widths, 56, 30), append(heads, "pressure", "exertion")
	rest := f.width()
	for _, w := range widths {
		rest -= w
	}
	widths, heads = append(widths, rest), append(heads, "seen, said")
	x := left
	for i, h := range heads {
		f.put(x+2, f.y+7, 6.5, "", 60, h)
		x += widths[i]
	}
	f.y += 9.5
	rows := max(len(k.Stages), 1+len(s.Book.Bands[0].WorkRates))
	words, heights, letters := f.stageLines(s, k, rows, widths[len(widths)-1]-5)
	for i := range rows {
		f.stageRow(s, k, i, widths, n, heights[i], words[i], letters)
	}
	f.y += 2
}

// noteSizes are the letters of what an exam's sheet says of a stage, the largest first.
// Source: [CHOICE-LETTERS].
var noteSizes = []float64{8, 7.3, 6.6}

// stageLines are what an exam's sheet says of each stage, in lines, and how high the rows are: as large, and then as much of what came unasked, as the
// page has room for.
func (f *folio) stageLines(s Stack, k grader.Card, rows int, width float64) (words [][]string, heights []float64, letters float64) {
	const tallest, lowest = 62, 26
	space := f.h - bottom - f.y - endingTall
	try := func(most int, size float64) (left float64) {
		words, heights, letters, left = make([][]string, rows), make([]float64, rows), size, space
		for i := range rows {
			heights[i] = lowest
			if s.Given && i < len(k.Stages) {
				words[i] = f.wrapped(size, width, noted(k.Stages[i], most))
				heights[i] = max(lowest, float64(len(words[i]))*size*noteLeading+6)
			}
			left -= heights[i]
		}
		return left
	}
	left := -1.0
	for _, size := range noteSizes {
		if left < 0 {
			left = try(mostUnasked, size)
		}
	}
	for most := mostUnasked - 1; most >= 0 && left < 0; most-- {
		left = try(most, letters)
	}
	for i := range rows { // what is left over makes the rows higher
		more := min(max(0, tallest-heights[i]), max(0, left)/float64(rows-i))
		heights[i] += more
		left -= more
	}
	return words, heights, letters
}

// noteLeading is the height of such a line over its letters.
const noteLeading = 1.21

// stageRow is one stage.
func (f *folio) stageRow(s Stack, k grader.Card, i int, widths []float64, n int, tall float64, words []string, letters float64) {
	var st grader.CardStage
	if s.Given && i < len(k.Stages) {
		st = k.Stages[i]
	}
	x := left
	for j, w := range widths {
		f.frame(x, f.y, w, tall, 0.5, 90)
		if j > 1 && j < 2+n {
			f.stroke(x+3, f.y+tall/2, x+w-3, f.y+tall/2, 0.3, 160)
		}
		x += w
	}
	f.put(left+8, f.y+tall/2+3.5, 10, "B", 0, strconv.Itoa(i+1))
	x = left + widths[0]
	f.put(x+widths[1]-14, f.y+12, 6.5, "", 70, "kp")
	f.put(x+widths[1]-34, f.y+tall/2+11, 6.5, "", 70, "kg·m/min")
	f.stroke(x+3, f.y+tall/2, x+widths[1]-3, f.y+tall/2, 0.3, 160)
	if s.Given && st.Number > 0 {
		f.hand(x+4, f.y+12, 8.5, fmt.Sprintf("%.1f", st.Resistance))
		x += widths[1]
		for j := range n {
			if j < len(st.Minutes) && st.Minutes[j].Beats > 0 {
				f.hand(x+4, f.y+11, 8.5, strconv.Itoa(st.Minutes[j].Beats))
				if st.Minutes[j].Seconds != s.Book.Count.Seconds {
					f.put(x+15, f.y+11, 6, "", 0, fmt.Sprintf("in %d s", st.Minutes[j].Seconds))
				}
			}
			x += widths[2]
		}
		pressure := ""
		for _, m := range st.Minutes {
			if m.Pressure != "" {
				pressure = m.Pressure
			}
		}
		for j, l := range f.wrapped(8, widths[2+n]-4, pressure) {
			f.hand(x+2, f.y+11+float64(j)*9, 7, l)
		}
		x += widths[2+n]
		if st.Exertion > 0 {
			f.hand(x+9, f.y+18, 8.5, strconv.Itoa(st.Exertion))
		}
		x += widths[3+n]
		for j, l := range words {
			f.put(x+2.5, f.y+letters+1.5+float64(j)*letters*noteLeading, letters, "", 0, l)
		}
	}
	f.y += tall
}

// noted is what an exam's sheet says of a stage: what came last unasked, and the last look and answer.
func noted(s grader.CardStage, most int) string {
	looks, says := "", ""
	var came []string
	for _, m := range s.Minutes {
		for _, u := range m.Unasked {
			came = append(came, spoken(u)+"\n")
		}
		if m.Looks != "" {
			looks = m.Looks
		}
		if m.Says != "" {
			says = "“" + m.Says + "”"
		}
	}
	text := strings.Join(came[max(0, len(came)-most):], "")
	for _, t := range []string{looks, says} {
		if t != "" {
			text += t + "\n"
		}
	}
	if text == "" {
		return ""
	}
	return text[:len(text)-1]
}

// spoken is something that came unasked: words in quotes.
func spoken(u grader.CardUnasked) string {
	words := u.Words
	if u.Said {
		words = "“" + words + "”"
	}
	return fmt.Sprintf("%d:%02d %s", u.AtS/60, u.AtS%60, words)
}

// endingTall is how high the last part of the sheet is.
const endingTall = 142

// ending is the end of the test and the recovery.
func (f *folio) ending(s Stack, k grader.Card) {
	f.part("The end, and recovery", "")
	f.fields(f.width(), field{"ended in stage", "", "", 12}, field{"after", "min:s", "", 14}, field{"reason for ending", "", "", 74})
	n := s.Book.CoolDown.WatchS/60 + 1
	const head = 52
	row := 18.5
	if s.Given {
		row = 14.5
	}
	rows := []string{"beats", "bpm", "mmHg", "how they are"}
	w := (f.width() - head) / float64(n)
	for m := range n {
		f.put(left+head+float64(m)*w+2, f.y+7, 6.5, "", 60, fmt.Sprintf("minute %d", m+1))
	}
	f.y += 9.5
	for i, name := range rows {
		f.put(left, f.y+10, 7.5, "", 0, name)
		for m := range n {
			x := left + head + float64(m)*w
			f.frame(x, f.y, w, row, 0.5, 90)
			if s.Given && m < len(k.Recovery.Minutes) {
				r := k.Recovery.Minutes[m]
				switch {
				case i == 0 && r.Beats > 0:
					f.hand(x+4, f.y+10.5, 8.5, strconv.Itoa(r.Beats))
				case i == 2 && r.Pressure != "":
					f.hand(x+4, f.y+10.5, 8.5, r.Pressure)
				}
			}
		}
		f.y += row
	}
}

// calculationPage is the back of the sheet.
func (f *folio) calculationPage(s Stack, one Worksheet) {
	f.mark = one.Code + " · calculation"
	f.turn()
	f.open("Graph and calculation", one.Code, one.Student)
	f.graph(min(372, f.h*0.44))
	f.part("Working", "each number on those before it; write every step")
	size, area := 11.0, f.h-bottom-f.y-92
	for y := f.y + size; y < f.y+area; y += size {
		for x := left + size; x < left+f.width(); x += size {
			f.stroke(x-0.4, y, x+0.4, y, 0.8, 150)
		}
	}
	f.y += area
	f.part("Result", "by the equations of the house’s rules")
	f.fields(f.width(), field{"stages used", "", "", 18}, field{"slope", "bpm per kg·m/min", "", 28}, field{"maximal work rate", "kg·m/min", "", 24}, field{"VO2max", "mL/kg/min", "", 24},
		field{"VO2max", "L/min", "", 20})
	f.fields(f.width(), field{"VO2max", "METs", "", 14}, field{"rating, and by which table", "", "", 34}, field{"error range ±", "%", "", 14}, field{"or: it cannot be estimated, because", "", "", 52})
}

// stageWords names a stage and its load.
func stageWords(c grader.CardStage) string {
	if c.Number == exercises.RecoveryStage {
		return "Recovery"
	}
	text := fmt.Sprintf("Stage %d at %.1f kp (%.0f kg·m/min)", c.Number, c.Resistance, c.WorkRate)
	if len(c.Checks) > 0 {
		text += "; checked: " + strings.Join(c.Checks, ", ")
	}
	return text
}
