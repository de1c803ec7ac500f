package paper

import (
	"fmt"

	"kilopond/grader"
	"kilopond/physiology/protocol"
)

// A role is one card of the crew: what it does, and when.
type role struct {
	name  string
	lines []string
}

// crew are the roles around one person, with the times of the rulebook.
func crew(b grader.Rulebook) []role {
	p := b.Pressure
	return []role{
		{"Proctor", []string{
			"Leads, speaks with the person, and decides. Everything that is decided is said aloud.",
			"Before: brake at zero, metronome at " + fmt.Sprintf("%.0f", b.Cadence) + ", plan for an emergency, explanation, health questions, consent, ceiling worked out.",
			fmt.Sprintf("In each minute: look at the person, ask how it feels. At the mark of minute %d: steady or not? Then the next load, a minute more, or the end.", b.StageS/60),
			"Ends the test for a sign, a word, a pressure, the ceiling, or a wish. Never raises a load in doubt.",
		}},
		{"Pulse", []string{
			fmt.Sprintf("Counts %d s so that the count ends with each minute; says the number of beats, not the rate.", b.Count.Seconds),
			fmt.Sprintf("Begins with “%s” on the first beat.", b.Count.FirstBeat),
			"Says at once what is odd: a beat that is early or missing, a rate that does not rise with the load. Then counts 30 s.",
			"In recovery counts each minute, until the person is let go.",
		}},
		{"Pressure", []string{
			fmt.Sprintf("Cuff that fits the arm, at the height of the heart. In a stage from %s on, between two counts of the pulse.", clockWords(p.FromS)),
			fmt.Sprintf("Pumps %.0f mmHg above the last systolic; lets the needle fall by %g–%g mmHg each second; arm off the handlebar.", p.PumpAbove, p.ValveLow, p.ValveHigh),
			fmt.Sprintf("Says both numbers, even ones. A fall of %.0f mmHg against the stage before, or a value that nobody expects: once more, at once, at the same load.", b.Stop.SystolicFall),
			fmt.Sprintf("Calls out above %.0f systolic or %.0f diastolic.", b.Stop.SystolicMax, b.Stop.DiastolicMax),
		}},
		{"Clock and sheet", []string{
			fmt.Sprintf("Starts the clock with each load. Says “fifteen” 15 s before a mark, and the mark. A stage has %s, one more minute at most %s.", clockWords(b.StageS), times(b.MaxExtensions)),
			"Writes at once: beats, rate, pressure, exertion, load, what was said and seen. Strikes out, never rubs out.",
			"Multiplies; reads the rate back; compares the last two minutes, and says by how much they differ.",
			fmt.Sprintf("Shows the ceiling as a count of beats before the first turn. %s.", steadyWords(b.Steady)),
		}},
		{"Brake and rhythm", []string{
			fmt.Sprintf("Sets the load when the proctor says it, reads the scale, not the dial, and says it back. %.1f kp at %.0f rpm is %.0f kg·m/min.", b.FirstWorkRate.Resistance(b.Cadence), b.Cadence, b.FirstWorkRate),
			"Looks at load and rhythm in each minute: a belt warms, legs slow down.",
			fmt.Sprintf("Load off at the word “stop”, at once. For the cool-down %.1f kp at most.", b.CoolDown.MaxResistance),
		}},
		{"Partner: the person", []string{
			"Has the partner’s card. Answers what is asked, says what stands under “unasked” at its time, shows the counts and pressures.",
			"Never helps: no hint by face, voice or hurry. An answer that is all right and one that is not are given alike.",
			"Goes to the other table when another load is set, and to “goes on all the same” when the test is not ended.",
			"Whoever plays the person does not pedal against a load: this is a rehearsal.",
		}},
	}
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// steadyWords says when two minutes agree.
func steadyWords(r protocol.SteadyRule) string {
	switch r {
	case protocol.UnderFive:
		return "Steady: they differ by less than 5 bpm"
	case protocol.WithinSix:
		return "Steady: they differ by 6 bpm at most"
	case protocol.WithinOneBeat:
		return "Steady: they differ by one beat of the count at most"
	}
	return "Steady: they differ by 5 bpm at most"
}

// crewCards are the cards of the crew, to be cut apart.
func (f *folio) crewCards(s Stack) {
	f.mark = "crew cards"
	f.turn()
	f.pdf.Bookmark("Crew cards", 0, 0)
	f.open("Crew cards", "", "For each crew, to be cut apart. With fewer people one has two cards, but never the partner’s. Rules: "+s.Book.Name)
	cards := crew(s.Book)
	rows := (len(cards) + 1) / 2
	w := f.width() / 2
	h := (f.h - bottom - f.y) / float64(rows)
	for i, c := range cards {
		x, y := left+float64(i%2)*w, f.y+float64(i/2)*h
		f.pdf.SetDashPattern([]float64{4, 3}, 0)
		f.frame(x, y, w, h, 0.7, 100)
		f.pdf.SetDashPattern(nil, 0)
		f.put(x+10, y+20, 13, "B", 0, c.name)
		f.stroke(x+10, y+25, x+w-10, y+25, 0.8, 0)
		at := y + 30
		for _, line := range c.lines {
			for j, l := range f.wrapped(10, w-32, line) {
				if j == 0 {
					f.put(x+10, at+9, 10, "", 0, "•")
				}
				f.put(x+20, at+9, 10, "", 0, l)
				at += 13.5
			}
			at += 4
		}
	}
	f.evenLeaf()
}

// checklist is the examiner's paper: every rule once, in the order of the lab.
func (f *folio) checklist(s Stack) {
	f.mark = "examiner’s checklist"
	f.turn()
	f.pdf.Bookmark("Examiner’s checklist", 0, 0)
	f.open("Examiner’s checklist", "", "Every rule of "+s.Book.Name+" once, in the order of the lab. Tick at each place where it could be kept; cross where it was not.")
	f.goesOn = "Examiner’s checklist, continued"
	f.fields(f.width(), field{"student", "", "", 40}, field{"code", "", "", 14}, field{"examiner", "", "", 28}, field{"date", "", "", 18})
	f.gap(2)
	w := s.Book.Weights
	f.say(fmt.Sprintf("Points are of %g, when everything can be reached; a rule that is never reached leaves the sum. ◆ can close the gate: no points open it again. "+
		"To pass: the gate open, and %g %% of the points in reach.", w.Safety+w.Validity+w.Procedure+w.Arithmetic, s.Book.PassPercent), voice{family: "sans", size: 8.5, grey: 50})
	list := func() {
		for _, st := range grader.Checklist(s.Book) {
			f.station(st)
		}
		f.gap(6)
		f.fields(f.width(), field{"points earned", "", "", 16}, field{"of points in reach", "", "", 18}, field{"gate", "open / closed", "", 20}, field{"remarks", "", "", 46})
	}
	f.onOneLeaf(list)
	f.goesOn = ""
	f.evenLeaf()
}

// station is one part of the checklist.
func (f *folio) station(st grader.Station) {
	const points, places = 30.0, 92.0
	size := f.small - 0.5
	words := f.width() - points - places - 16
	f.room(40)
	f.part(st.Title, "")
	for _, r := range st.Rules {
		lines := f.wrapped(size, words, r.Asks)
		tall := float64(len(lines))*size*1.25 + 4
		if f.y+tall > f.h-bottom {
			f.turn()
		}
		mark := ""
		if r.Closes {
			mark = "◆"
		}
		f.put(left, f.y+size+1, 9, "", 0, mark)
		for j, l := range lines {
			f.put(left+14, f.y+size+1+float64(j)*size*1.25, size, "", 0, l)
		}
		text := fmt.Sprintf("%.1f", r.Points)
		f.put(left+14+words+points-8-f.breadth(size, "B", text), f.y+size+1, size, "B", 0, text)
		for j := range 6 {
			f.frame(left+14+words+points+float64(j)*15, f.y+1.5, 9, 9, 0.6, 70)
		}
		f.y += tall
		f.stroke(left, f.y-1, left+f.width(), f.y-1, 0.25, 190)
	}
}
