package paper

import (
	"fmt"
	"io"
	"strings"

	"kilopond/cmd/internal/picture"
	"kilopond/grader"
	"kilopond/scenarios"
)

// WriteKeys writes the keys of a stack: a list of all codes, and a page for each with the readings of the way and the worked answer.
func WriteKeys(w io.Writer, s Stack) error {
	f, err := emptyFolio(s.Size, s.Title+": keys", s.Caution)
	if err != nil {
		return err
	}
	f.keyList(s)
	for _, one := range s.Sheets {
		f.keyPage(s, one)
	}
	return f.close(w)
}

// keyList is who has what.
func (f *folio) keyList(s Stack) {
	f.mark = "keys"
	f.turn()
	f.open("Keys", "", s.Title+" · rules: "+s.Book.Name+". Not for students: it tells everything.")
	var rows [][]cell
	for _, one := range s.Sheets {
		k := one.Card
		value := "none"
		if k.Worked.Estimable {
			value = fmt.Sprintf("%.1f", k.Worked.VO2Rel)
		}
		rows = append(rows, []cell{{text: one.Code}, {text: strings.TrimSuffix(one.Student+", "+one.Group, ", ")}, {text: k.Subject.Name}, {text: k.Scenario.Case.ID},
			{text: actWords[k.RightAct]}, {text: loadsOf(k)}, {text: value}})
	}
	f.table(f.width(), []column{{head: "code", share: 8, bold: true}, {head: "student", share: 17}, {head: "person", share: 18}, {head: "case", share: 18}, {head: "right act", share: 15},
		{head: "loads, kg·m/min", share: 18}, {head: "mL/kg/min", share: 12, number: true}}, rows)
}

var actWords = map[scenarios.RightAct]string{
	scenarios.RunToEnd: "run to the end", scenarios.DoNotTest: "do not test", scenarios.EndTest: "end the test", scenarios.StopAtOnce: "stop at once", scenarios.VerifyThenGo: "verify, then go on",
}

// loadsOf are the work rates of the way.
func loadsOf(k grader.Card) string {
	var all []string
	for _, s := range k.Stages {
		all = append(all, fmt.Sprintf("%.0f", s.WorkRate))
	}
	return strings.Join(all, ", ")
}

// keyPage is the key of one sheet.
func (f *folio) keyPage(s Stack, one Worksheet) {
	k := one.Card
	f.mark = one.Code + " · key"
	f.turn()
	f.pdf.Bookmark(f.printable(one.Code+" "+one.Student), 0, 0)
	f.open("Key", one.Code, strings.TrimPrefix(strings.TrimSuffix(one.Student+", "+one.Group, ", ")+" · rules: "+s.Book.Name, " · "))
	f.say(fmt.Sprintf("%s, %s, %d years, %s; %.1f kg. Case %s: %s", k.Subject.Name, sexWord(k.Subject.Sex), k.Subject.AgeY, k.Subject.Work, k.Mass, k.Scenario.Case.ID, k.Scenario.Case.Spoiler), plainVoice())
	f.say("Right: "+actWords[k.RightAct]+". "+endWords(k), voice{family: "sans", style: "B", size: bodySize})
	for _, h := range k.Scenario.Health {
		if h.Flag {
			f.say(fmt.Sprintf("Not to be passed over: %s “%s”", h.Question, h.Says), plainVoice())
		}
	}
	for _, r := range k.Rest {
		text := fmt.Sprintf("%d beats in %d s", r.Beats, r.Seconds)
		if r.Pressure != "" {
			text += ", " + r.Pressure + " mmHg"
		}
		f.say("At rest ("+r.Where+"): "+text+".", voice{family: "sans", size: 8.5, grey: 50})
	}
	f.gap(3)
	if len(k.Stages) > 0 {
		f.keyReadings(k)
		f.part("Worked on these readings", "")
		for i, step := range k.Worked.Steps {
			f.say(fmt.Sprintf("%d.  %s", i+1, step), voice{family: "sans", size: 8.5, hang: 14})
		}
		for _, n := range k.Worked.Warnings {
			f.say("Note: "+n, voice{family: "sans", size: 8, grey: 60, hang: 14})
		}
		tol := s.Book.Tolerances
		f.say(fmt.Sprintf("Full credit for a work rate within %g %% and a VO2max within %g %% of what follows from the student’s own numbers before it; none from %g %% and %g %%. "+
			"True VO2max of this synthetic person: %.1f mL/kg/min, which is never graded.", tol.WorkRate.Full, tol.VO2.Full, tol.WorkRate.None, tol.VO2.None, k.TrueVO2), voice{family: "sans", size: 8, grey: 60})
		f.gap(3)
		f.drawSmall(lineOf(k))
	}
}

// endWords says how the reference proctor ended.
func endWords(k grader.Card) string {
	if len(k.Stages) == 0 {
		return "The reference proctor’s decision: " + decisionWords[k.Decided] + "."
	}
	return fmt.Sprintf("The reference proctor ended in stage %d after %s: %s.", k.Stages[len(k.Stages)-1].Number, clockWords(k.EndedAtS), strings.TrimSuffix(k.EndedBy, "."))
}

// keyReadings are the readings of the way.
func (f *folio) keyReadings(k grader.Card) {
	var rows [][]cell
	for _, s := range k.Stages {
		var beats, rates []string
		pressure, exertion := "", ""
		for _, m := range s.Minutes {
			if m.Beats > 0 {
				beats, rates = append(beats, beatsOf(m, k.CountS)), append(rates, bpmOf(m.HR))
			}
			if m.Pressure != "" {
				pressure = m.Pressure
			}
		}
		if s.Exertion > 0 {
			exertion = fmt.Sprint(s.Exertion)
		}
		rows = append(rows, []cell{{text: fmt.Sprint(s.Number)}, {text: fmt.Sprintf("%.1f", s.Resistance)}, {text: fmt.Sprintf("%.0f", s.WorkRate)}, {text: strings.Join(beats, ", ")},
			{text: strings.Join(rates, ", ")}, {text: pressure}, {text: exertion}})
	}
	f.table(f.width(), []column{{head: "stage", share: 7, number: true}, {head: "kp", share: 7, number: true}, {head: "kg·m/min", share: 11, number: true},
		{head: fmt.Sprintf("beats in %d s", k.CountS), share: 20}, {head: "bpm", share: 24}, {head: "mmHg", share: 20}, {head: "exertion", share: 9, number: true}}, rows)
}

// lineOf is the picture of the worked line.
func lineOf(k grader.Card) picture.Extrapolation {
	a := k.Worked
	e := picture.Extrapolation{MaxHR: float64(a.MaxHR), Ceiling: float64(a.Ceiling), WindowLow: float64(k.WindowLow), WindowHigh: float64(k.High), Slope: a.Slope, Intercept: a.Intercept}
	for i, p := range a.Points {
		st := picture.Stage{Number: p.Stage, WorkRate: float64(p.WorkRate), HR: float64(p.HR), Used: p.Used, Why: p.Why}
		if i < len(k.Stages) {
			for _, m := range k.Stages[i].Minutes {
				if m.HR > 0 {
					st.Minutes = append(st.Minutes, float64(m.HR))
				}
			}
		}
		e.Stages = append(e.Stages, st)
	}
	if a.Estimable && a.Slope > 0 {
		e.Worked = &picture.Reach{WorkRate: float64(a.MaxWorkRate), HR: float64(a.MaxHR)}
	}
	return e
}

// drawSmall puts a picture into what is left of the page, without its words: they are the steps above it.
func (f *folio) drawSmall(d picture.Drawing) {
	w, h := d.Size()
	scale := min(f.width()/w, (f.h-bottom-f.y-4)/h)
	if scale < 0.45 { // too small to read
		f.turn()
		scale = f.width() / w
	}
	d.Draw(&quill{f: f, x: left + (f.width()-w*scale)/2, y: f.y, scale: scale}, f.face)
	f.pdf.SetDashPattern(nil, 0)
	f.y += h * scale
}
