package picture

import (
	"fmt"
	"slices"
	"strings"
)

// A Step is the load from a second on.
type Step struct {
	AtS      int
	Kp       float64 // on the dial
	Moving   bool    // the pedals turn
	NewStage int     // the stage that begins here, 0 when none does
}

// A Dot is a heart rate at a second.
type Dot struct {
	AtS   int
	HR    float64
	Wrote float64 // what stands on the sheet where that is another number, else 0
	Place string  // "stage 2"
}

// A Bar is a pressure at a second; what could not be read is 0.
type Bar struct {
	AtS                           int
	Systolic, Diastolic           float64
	WroteSystolic, WroteDiastolic float64 // what stands on the sheet where that is something else, else 0
	Place                         string
}

// A Rating is a rating of exertion.
type Rating struct {
	AtS int
	RPE int
}

// A Mark is something at a second: its row, and a label or "".
type Mark struct {
	AtS   int
	Row   Row
	Label string // number of a finding; words that were said
}

// A Row is a line of marks.
type Row int

const (
	Said    Row = iota // unasked
	Showed             // nobody could fail to notice
	Looked             // the proctor looked or asked
	Finding            //
)

// A Span is a sign that was there for a time.
type Span struct {
	Words      string
	FromS, ToS int
}

// A Course is a test in time. Seconds count from when the encounter began.
type Course struct {
	FromS, ToS         int
	PedalAtS, EndedAtS int // −1 when never
	Ceiling            float64
	Steps              []Step
	Pulses, Monitor    []Dot
	Pressures          []Bar
	Ratings            []Rating
	Marks              []Mark
	Signs              []Span
}

func (t Course) Name() string  { return "course" }
func (t Course) Title() string { return "The course of the test in time" }

// Heights of the parts, in points.
const (
	pulseH    = 150
	pressureH = 100
	loadH     = 70
	rowH      = 14
	footH     = 32
	keyH      = 44
)

func (t Course) Size() (w, h float64) {
	return width, pulseH + pressureH + loadH + rowH*float64(len(t.rows())+1) + footH + keyH
}

const width = 520

// rows are the names of the lines of marks, from the top. Findings take as many lines as it needs that none lies on another.
func (t Course) rows() []string {
	names := []string{"exertion", "said unasked", "seen unasked", "looked, asked", "findings"}
	for range len(t.findingLines()) - 1 {
		names = append(names, "")
	}
	for _, s := range t.signs() {
		names = append(names, short(s[0].Words))
	}
	return names
}

// short cuts a name to what fits beside the axis.
func short(name string) string {
	const most = 22
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

// findingLines places the findings: those of one second together, three at most, each on the first line that is free there.
func (t Course) findingLines() [][]Mark {
	var found []Mark
	for _, m := range t.Marks {
		if m.Row == Finding {
			found = append(found, m)
		}
	}
	slices.SortStableFunc(found, func(a, b Mark) int { return a.AtS - b.AtS })
	from, to := t.span()
	perS := 0.8 * width / (60 * (to - from)) // points for a second, about
	var lines [][]Mark
	var free []float64 // where each line is free from, in points
	for i := 0; i < len(found); {
		m := found[i]
		n := 1
		for n < 3 && i+n < len(found) && found[i+n].AtS == m.AtS {
			m.Label += "," + found[i+n].Label
			n++
		}
		i += n
		at, half := float64(m.AtS)*perS, letter*float64(len(m.Label))/2
		line := 0
		for line < len(lines) && free[line] > at-half {
			line++
		}
		if line == len(lines) {
			lines, free = append(lines, nil), append(free, 0)
		}
		lines[line], free[line] = append(lines[line], m), at+half+3
	}
	if lines == nil {
		lines = [][]Mark{nil}
	}
	return lines
}

// letter is about how wide a figure of a label is, in points.
const letter = 5.6

// signs are the spans by sign, in order of first appearance.
func (t Course) signs() [][]Span {
	var all [][]Span
	at := map[string]int{}
	for _, s := range t.Signs {
		i, ok := at[s.Words]
		if !ok {
			i = len(all)
			at[s.Words] = i
			all = append(all, nil)
		}
		all[i] = append(all[i], s)
	}
	return all
}

// Text says what the picture shows: every reading, every load, what was said and seen unasked, and what was there.
func (t Course) Text() string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	if t.PedalAtS < 0 {
		say("Nobody pedalled.")
	} else {
		say("Pedalling began at %s.", clock(t.PedalAtS))
	}
	var loads []string
	for _, s := range t.Steps {
		switch {
		case s.NewStage > 0:
			loads = append(loads, fmt.Sprintf("stage %d from %s at %s kp", s.NewStage, clock(s.AtS), plain(s.Kp)))
		case !s.Moving:
			loads = append(loads, "pedals still from "+clock(s.AtS))
		default:
			loads = append(loads, fmt.Sprintf("%s kp from %s", plain(s.Kp), clock(s.AtS)))
		}
	}
	sayList(&all, "Load", loads)
	if t.EndedAtS >= 0 {
		say("The test was ended at %s.", clock(t.EndedAtS))
	}
	sayList(&all, "Pulse in bpm", byPlace(t.Pulses))
	sayList(&all, "Monitor in bpm", byPlace(t.Monitor))
	var bars []string
	for _, b := range t.Pressures {
		switch {
		case b.Systolic == 0 && b.WroteSystolic == 0:
			bars = append(bars, b.Place+": not read")
		case b.Systolic == 0:
			bars = append(bars, fmt.Sprintf("%s: not read, written %s/%s", b.Place, plain(b.WroteSystolic), plain(b.WroteDiastolic)))
		case b.WroteSystolic == 0:
			bars = append(bars, fmt.Sprintf("%s: %s/%s", b.Place, plain(b.Systolic), plain(b.Diastolic)))
		default:
			bars = append(bars, fmt.Sprintf("%s: %s/%s, written %s/%s", b.Place, plain(b.Systolic), plain(b.Diastolic), plain(b.WroteSystolic), plain(b.WroteDiastolic)))
		}
	}
	sayList(&all, "Pressure in mmHg", bars)
	var rated []string
	for _, r := range t.Ratings {
		rated = append(rated, fmt.Sprintf("%d at %s", r.RPE, clock(r.AtS)))
	}
	sayList(&all, "Exertion", rated)
	var said, showed, found []string
	looks := 0
	for _, m := range t.Marks {
		switch m.Row {
		case Said:
			said = append(said, clock(m.AtS)+" "+m.Label)
		case Showed:
			showed = append(showed, clock(m.AtS)+" "+m.Label)
		case Looked:
			looks++
		case Finding:
			found = append(found, m.Label+" at "+clock(m.AtS))
		}
	}
	sayList(&all, "Said unasked", said)
	sayList(&all, "Seen unasked", showed)
	say("You looked or asked %d times.", looks)
	sayList(&all, "Findings, by their number", found)
	var signs []string
	for _, list := range t.signs() {
		var times []string
		for _, s := range list {
			times = append(times, clock(s.FromS)+"–"+clock(s.ToS))
		}
		signs = append(signs, list[0].Words+" "+strings.Join(times, ", "))
	}
	sayList(&all, "What was there", signs)
	return strings.Join(all, " ")
}

func sayList(all *[]string, what string, list []string) {
	if len(list) > 0 {
		text := strings.TrimSuffix(strings.Join(list, "; "), ".")
		if !strings.HasSuffix(text, "”") {
			text += "."
		}
		*all = append(*all, what+": "+text)
	}
}

// byPlace lists heart rates, those of one place together.
func byPlace(dots []Dot) []string {
	var list []string
	last := ""
	for _, d := range dots {
		value := plain(d.HR)
		if d.Wrote > 0 {
			value += " (written " + plain(d.Wrote) + ")"
		}
		if d.Place == last {
			list[len(list)-1] += ", " + value
			continue
		}
		list, last = append(list, d.Place+" "+value), d.Place
	}
	return list
}
