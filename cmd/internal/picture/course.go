package picture

import (
	"fmt"
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
	return 520, pulseH + pressureH + loadH + rowH*float64(len(t.rows())+1) + footH + keyH
}

// rows are the names of the lines of marks, from the top.
func (t Course) rows() []string {
	names := []string{"exertion", "said unasked", "seen unasked", "looked, asked", "findings"}
	for _, s := range t.signs() {
		names = append(names, s[0].Words)
	}
	return names
}

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
		*all = append(*all, what+": "+strings.TrimSuffix(strings.Join(list, "; "), ".")+".")
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
