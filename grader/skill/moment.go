package skill

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// replay folds a test line by line and offers each state inside a stage with the number of lines before it, until look has seen enough.
func (t test) replay(look func(s *exercises.State, before int) (enough bool)) {
	s := t.begin()
	for i, l := range t.played.Lines {
		if s.Stage > 0 && s.EndedAtS < 0 && look(s, i) {
			return
		}
		s.Take(l)
	}
}

func (t test) begin() *exercises.State {
	s, err := exercises.Rebuild(t.played.Session.State().Header, nil)
	if err != nil {
		panic("skill: an attempt without lines always folds: " + err.Error())
	}
	return s
}

// at is the state after so many lines.
func (t test) at(lines int) *exercises.State {
	s := t.begin()
	for _, l := range t.played.Lines[:lines] {
		s.Take(l)
	}
	return s
}

// sheetSoFar is what stands on the sheet of the running test, a row a minute.
//
// What was asked or taken after the last minute mark of a stage stands in the last minute's row, where it has room.
func sheetSoFar(b grader.Rulebook, s *exercises.State) *Table {
	t := &Table{Header: []string{"stage", "minute", "load, kp", "bpm", "mmHg", "exertion"}}
	loads, minutes := map[int]string{}, map[int]int{}
	for _, e := range s.Events {
		if f, ok := e.Fact.(exercises.StageStarted); ok {
			loads[f.Stage], minutes[f.Stage] = plain(unit.Round(f.ResistanceKp, 2)), b.StageS/60
		} else if f, ok := e.Fact.(exercises.Extended); ok {
			minutes[f.Stage] += b.ExtensionS / 60
		}
	}
	for stage := 1; stage <= s.Stage; stage++ {
		last := 0
		for _, it := range s.Items {
			if it.Stage == stage {
				last = max(last, it.Minute)
			}
		}
		for minute := 1; minute <= last; minute++ {
			row := []string{fmt.Sprint(stage), fmt.Sprint(minute), loads[stage], "", "", ""}
			for i, key := range []exercises.Key{exercises.KeyHR, exercises.KeyBP, exercises.KeyRPE} {
				if it, ok := s.Item(key, stage, minute); ok {
					row[3+i] = it.Text
				}
			}
			if minute == 1 || minute <= minutes[stage] || !fold(t.Rows[len(t.Rows)-1], row) {
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// fold puts the readings of a row into the one above; it does nothing and says false where one of them is taken.
func fold(above, row []string) bool {
	for i := 3; i < len(row); i++ {
		if row[i] != "" && above[i] != "" {
			return false
		}
	}
	for i := 3; i < len(row); i++ {
		above[i] += row[i]
	}
	return true
}

// atRest is the last pulse and pressure before pedalling, in a sentence, with the ceiling.
func (m *Maker) atRest(s *exercises.State) string {
	pulse, pressure := "", ""
	for _, it := range s.Items {
		switch {
		case it.Stage != 0 || it.Struck:
		case it.Key == exercises.KeyHR:
			pulse = it.Text
		case it.Key == exercises.KeyBP:
			pressure = it.Text
		}
	}
	said := fmt.Sprintf("Before the test %s bpm and %s mmHg.", pulse, pressure)
	who := s.Header.Subject
	most, err := protocol.PredictedMaxHR(m.book.MaxHR, unit.Sex(who.Sex), unit.Age(who.AgeY))
	if err != nil {
		return said
	}
	var rest unit.HR
	if _, err := fmt.Sscan(pulse, &rest); err != nil && m.book.Ceiling.Of == "reserve" {
		return said
	}
	return said + fmt.Sprintf(" The ceiling is %s bpm.", plain(unit.Round(float64(protocol.Ceiling(m.book.Rules, most, rest)), 2)))
}

// lately is what was said, seen and measured in the last minute, in order; readings go back somewhat further, since they stand for longer.
func lately(s *exercises.State) []Fact {
	var all []Fact
	at := func(e int) string {
		return fmt.Sprintf("%d:%02d", (e-s.StageFromS)/60, (e-s.StageFromS)%60)
	}
	for _, e := range s.Events {
		if e.AtS < s.StageFromS || e.AtS < s.ClockS-readingS {
			continue
		}
		line := ""
		switch f := e.Fact.(type) {
		case exercises.CuffFell:
			line = pressureWords(f)
		case exercises.PulseFelt:
			count, name := f, fmt.Sprintf("The pulse, %d s:", f.Seconds)
			if f.CutShort {
				name = fmt.Sprintf("The pulse, given up after %d s:", f.Seconds)
			}
			all = append(all, Fact{When: at(f.FromS), Text: name}, Fact{Pulse: &count, AtS: f.FromS - s.StageFromS})
		}
		if e.AtS >= s.ClockS-lateS {
			switch f := e.Fact.(type) {
			case exercises.Said:
				line = "“" + f.Words + "”"
				if f.To == "symptoms" {
					line = "How does it feel? " + line
				}
			case exercises.Noticed:
				line = f.Words
			case exercises.ExertionGiven:
				line = fmt.Sprintf("Exertion %d. “%s”", f.RPE, f.Words)
			case exercises.Coached:
				line = "You ask for the rhythm."
			case exercises.PedallingStopped:
				line = "The pedals are still."
			case exercises.ResistanceSet:
				line = fmt.Sprintf("You set the dial to %s kp.", plain(f.ResistanceKp))
			case exercises.Measured:
				switch f.What {
				case "cadence_rpm":
					line = fmt.Sprintf("Cadence %s rpm.", plain(unit.Round(f.Value, 0)))
				case "dial_kp":
					line = fmt.Sprintf("The brake's scale shows %s kp.", plain(unit.Round(f.Value, 2)))
				}
			}
		}
		if line != "" {
			all = append(all, Fact{When: at(e.AtS), Text: line})
		}
	}
	return all
}

// pressureWords is what one deflation gave.
func pressureWords(f exercises.CuffFell) string {
	heard, ok := grader.HeardPressure(f)
	switch {
	case f.CutShort:
		return "A pressure, given up."
	case ok:
		return "Pressure " + heard.String() + " mmHg."
	case heard.Any && heard.HeardAtOnce:
		return fmt.Sprintf("A pressure, pumped to %d: sounds at once; they went at %.0f.", f.TopMmHg, heard.Diastolic)
	}
	return "A pressure that could not be read."
}

// How far back words and looks, and readings, are told, in seconds. Source: [CHOICE-WORDS-NEAR].
const (
	lateS    = 60
	readingS = 150
)

// talked says whether the last minute holds a look and an answer to a question.
func talked(s *exercises.State) bool {
	look, answer := false, false
	for _, e := range s.Events {
		if e.AtS < s.ClockS-lateS || e.AtS < s.StageFromS {
			continue
		}
		switch f := e.Fact.(type) {
		case exercises.Noticed:
			look = true
		case exercises.Said:
			answer = answer || f.To == "symptoms"
		}
	}
	return look && answer
}

// again plays the commands of the test up to a line on the same body: from there another act can be tried.
func (t test) again(lines int) *exercises.Session {
	session := exercises.Begin(t.begin().Header, t.subject)
	for _, l := range t.played.Lines[:lines] {
		if _, err := session.Do(l.Command); err != nil {
			panic("skill: a test does not play again: " + err.Error())
		}
	}
	return session
}

// worrying are words or looks of the last minute that may worry and mean nothing; "" when there are none.
func (t test) worrying(s *exercises.State) string {
	var lines []string
	for key, said := range t.subject.Case.Voice.Signs {
		if strings.HasPrefix(key, string(body.Harmless)+"/") {
			lines = append(lines, said...)
		}
	}
	if len(lines) == 0 {
		return ""
	}
	for _, e := range slices.Backward(s.Events) {
		if e.AtS < s.ClockS-lateS || e.AtS < s.StageFromS {
			break
		}
		words := ""
		switch f := e.Fact.(type) {
		case exercises.Said:
			words = f.Words
		case exercises.Noticed:
			words = f.Words
		}
		if slices.ContainsFunc(lines, func(l string) bool { return strings.Contains(words, l) }) {
			return words
		}
	}
	return ""
}

// callWords are the calls as they are offered and said.
func callWords() []Choice {
	return []Choice{
		{string(grader.GoOn), "go on as planned"},
		{string(grader.Recheck), "first measure, ask or set right once more, at this load"},
		{string(grader.End), "end the test in good order, with light pedalling"},
		{string(grader.Emergency), "load off at once, pedals stopped, person steadied"},
	}
}
