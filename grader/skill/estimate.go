package skill

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// The kinds of sheets.
const (
	anEstimate = "an estimate"
	oneStage   = "one usable stage" // a single-stage value, or no estimate, as the house has it
	noEstimate = "no estimate"
)

func estimateSkill() Skill {
	return Skill{
		Name: Estimate, Asks: "Work the estimate on a data sheet.", N: 1,
		Levels: [Levels]string{"the stages of the line are named", "stages to choose", "stages to choose, and all units", "sheets with two usable stages, one, or none that serves"},
		kinds:  [Levels][]share{{{anEstimate, 1}}, {{anEstimate, 1}}, {{anEstimate, 1}}, {{anEstimate, 2}, {oneStage, 1}, {noEstimate, 1}}},
		draw:   (*Maker).estimate,
	}
}

// estimate takes the sheet of a test, as the reference proctor wrote it.
func (m *Maker) estimate(it *Item) error {
	r := it.stream("draw")
	fits := func(c scenarios.Case) bool {
		return c.Room == nil && (c.RightAct == scenarios.RunToEnd || c.RightAct == scenarios.VerifyThenGo)
	}
	return m.meet(r, fits, func(t test) bool {
		lines := t.beforeSums()
		if it.Kind != anEstimate {
			lines = t.stageOver(r)
		}
		if lines == 0 {
			return false
		}
		s := t.at(lines)
		if it.Kind != anEstimate { // as if the person had wanted to stop there
			s.Take(exercises.Line{AtS: s.ClockS + 1, Events: []exercises.Event{{AtS: s.ClockS + 1, Fact: exercises.TestEnded{How: exercises.CoolDown}}}})
		}
		c := grader.ReadState(m.book, s)
		worked := grader.WorkSheet(m.book, c)
		if kindOfSheet(worked) != it.Kind || len(c.Stages) == 0 {
			return false
		}
		m.estimateItem(it, s, worked)
		if it.Level == Levels {
			it.Facts = append(it.Facts, text(fmt.Sprintf("The test was ended in stage %d.", s.Stage)))
		}
		return true
	})
}

// stageOver is a line at which a stage, or a minute added to one, was over; 0 when there is none.
func (t test) stageOver(r *rand.Rand) int {
	var at []int
	for i, l := range t.played.Lines {
		if (l.Command.Act == exercises.Stage || l.Command.Act == exercises.Extend) && l.AtS > t.firstStageS()+60 {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return 0
	}
	return at[r.IntN(len(at))]
}

// firstStageS is the second at which the first stage began.
func (t test) firstStageS() int {
	for _, l := range t.played.Lines {
		if l.Command.Act == exercises.Stage {
			return l.AtS
		}
	}
	return 0
}

// beforeSums is how many lines of a test stand before the calculation was written; 0 when it never was.
func (t test) beforeSums() int {
	for i, l := range t.played.Lines {
		for _, e := range l.Command.Entries {
			if e.Key == exercises.KeyPoints || e.Key == exercises.KeyNoEstimate {
				return i
			}
		}
	}
	return 0
}

// kindOfSheet says what kind of sheet it is.
func kindOfSheet(a protocol.Answer) string {
	used := 0
	for _, p := range a.Points {
		if p.Used {
			used++
		}
	}
	switch {
	case used == 1:
		return oneStage
	case !a.Estimable:
		return noEstimate
	}
	return anEstimate
}

func (m *Maker) estimateItem(it *Item, s *exercises.State, worked protocol.Answer) {
	mass := 0.0
	for _, i := range s.Items {
		if i.Key == exercises.KeyMass {
			if x, err := strconv.ParseFloat(i.Text, 64); err == nil {
				mass = x
			}
		}
	}
	it.Facts = []Fact{text(who(s.Header.Subject) + fmt.Sprintf(" %s kg.", plain(mass)))}
	loads := map[int]unit.WorkRate{}
	for _, e := range s.Events {
		if f, ok := e.Fact.(exercises.StageStarted); ok {
			loads[f.Stage] = unit.Resistance(f.ResistanceKp).WorkRate(m.book.Cadence)
		}
	}
	var rows [][]string
	for stage := 1; stage <= s.Stage; stage++ {
		last := 0
		for _, i := range s.Items {
			if i.Stage == stage && i.Key == exercises.KeyHR {
				last = max(last, i.Minute)
			}
		}
		for minute := 1; minute <= last; minute++ {
			if i, ok := s.Item(exercises.KeyHR, stage, minute); ok {
				rows = append(rows, []string{fmt.Sprint(stage), plain(unit.Round(float64(loads[stage]), 0)), fmt.Sprint(minute), i.Text})
			}
		}
	}
	it.Facts = append(it.Facts, Fact{Table: &Table{[]string{"stage", "kg·m/min", "minute", "bpm"}, rows}})
	if it.Level == 1 {
		used := ""
		for _, p := range worked.Points {
			if p.Used {
				if used != "" {
					used += " and "
				}
				used += fmt.Sprint(p.Stage)
			}
		}
		it.Facts = append(it.Facts, text("The line goes through stages "+used+", each at "+stageHRWords(m.book)+"."))
	}
	keys := []exercises.Key{exercises.KeyMaxHR, exercises.KeyMaxWorkRate, exercises.KeyVO2Rel}
	it.Boxes = []Box{{"predicted maximum", "bpm"}, {"work rate there", "kg·m/min"}, {"VO2max", "mL/kg/min"}}
	it.Ask = "Work the estimate. One number at a time is as good as all on a line."
	switch it.Level {
	case 3:
		keys = append(keys, exercises.KeyVO2Abs, exercises.KeyMETs)
		it.Boxes = append(it.Boxes, Box{"VO2max", "L/min"}, Box{"VO2max", "METs"})
	case Levels: // a sheet with one usable stage has no line to read: its box would tell it
		keys, it.Boxes = slices.Delete(keys, 1, 2), slices.Delete(it.Boxes, 1, 2)
		it.Ask += " " + onePointWords(m.book.OnePoint)
		it.None = "the sheet carries no estimate"
	}
	it.judge = func(a Answer) Verdict { return m.judgeEstimate(s, worked, keys, a) }
}

// onePointWords says what the house makes of one usable stage.
func onePointWords(r protocol.OnePointRule) string {
	if r == protocol.SingleStageValue {
		return fmt.Sprintf("One usable stage gives the single-stage value: VO2 of the stage × (maximum − c) / (its rate − c), c %s for men and %s for women.",
			plain(float64(protocol.SingleStageConstant(unit.Male))), plain(float64(protocol.SingleStageConstant(unit.Female))))
	}
	return "One usable stage gives no estimate."
}

// stageHRWords says which rate stands for a stage.
func stageHRWords(b grader.Rulebook) string {
	if b.StageHR == protocol.MeanLastTwo {
		return "the mean of its last two minutes"
	}
	return "its last minute"
}

// judgeEstimate writes the answer on the sheet and lets the rules of the calculation look at it.
func (m *Maker) judgeEstimate(s *exercises.State, worked protocol.Answer, keys []exercises.Key, a Answer) Verdict {
	state, err := exercises.Rebuild(s.Header, nil)
	if err != nil {
		panic("skill: an attempt without lines always folds: " + err.Error())
	}
	at := s.ClockS + 1
	events := append([]exercises.Event(nil), s.Events...)
	write := func(key exercises.Key, words string) {
		events = append(events, exercises.Event{AtS: at, Fact: exercises.Written{Item: len(s.Items) + len(events) - len(s.Events) + 1, Key: key, Text: words}})
	}
	names := []string{"sum-no-estimate"}
	if a.None {
		write(exercises.KeyNoEstimate, "cannot be estimated")
	} else {
		for i, key := range keys {
			write(key, strconv.FormatFloat(a.Numbers[i], 'f', -1, 64))
		}
		if worked.Estimable {
			names = nil
			for _, key := range keys {
				names = append(names, sumRules[key])
			}
		}
	}
	events = append(events, exercises.Event{AtS: at, Fact: exercises.HandedIn{Truth: scenarios.Truth{Sex: s.Header.Subject.Sex, AgeY: s.Header.Subject.AgeY}}})
	state.Take(exercises.Line{AtS: at, Events: events})
	rule := m.rules[names[len(names)-1]]
	found := m.asked(state, at, names...)
	v := verdict(found, Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
	v.Steps = worked.Steps
	if v.Right {
		v.Known = "Every number follows from those before it."
		if a.None {
			v.Known = "The sheet carries no estimate: " + worked.WhyNot + "."
		}
		v.Should = v.Known
		return v
	}
	v.Known, v.Did, v.Should = "", sumsSaid(found), "The calculation, worked on this sheet, stands below."
	return v
}

// sumsSaid is what was written in each box that is not right, with the slip that it fits.
func sumsSaid(found []grader.Opportunity) string {
	var said []string
	for _, o := range found {
		if o.Credit < 1 && o.Finding != nil {
			said = append(said, sumNames[o.Finding.Rule]+o.Finding.Known+" "+o.Finding.Did)
		}
	}
	return strings.Join(said, " ")
}

// sumRules are the rules that judge each number.
var sumRules = map[exercises.Key]string{
	exercises.KeyMaxHR: "sum-max-hr", exercises.KeyMaxWorkRate: "sum-work-rate", exercises.KeyVO2Rel: "sum-vo2-rel", exercises.KeyVO2Abs: "sum-vo2-abs", exercises.KeyMETs: "sum-mets",
}

// sumNames are the boxes in front of what is said of them.
var sumNames = map[string]string{
	"sum-max-hr": "Predicted maximum: ", "sum-ceiling": "Ceiling: ", "sum-ceiling-count": "Ceiling as a count: ", "sum-work-rate": "Work rate there: ", "sum-vo2-rel": "VO2max per kilogram: ", "sum-vo2-abs": "VO2max in litres: ", "sum-mets": "METs: ",
}
