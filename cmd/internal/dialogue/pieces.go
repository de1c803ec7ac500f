package dialogue

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

// A piece is a stretch of what is told, with the second on the clock at which it is heard, felt or seen.
type piece struct {
	at   float64
	text string
}

// told makes pieces of whole lines.
func told(at float64, lines ...string) []piece {
	out := make([]piece, len(lines))
	for i, l := range lines {
		out[i] = piece{at, l + "\n"}
	}
	return out
}

// pieces tells what happened, in order: what a reading gave before what was said while it was taken. began is the clock when the command was
// typed.
func (d *dialogue) pieces(l exercises.Line, began int) []piece {
	var out, during []piece
	answers, answered := 0, 0
	for _, e := range l.Events {
		if f, ok := e.Fact.(exercises.Said); ok && f.To == "health" {
			answers++
		}
	}
	for _, e := range l.Events {
		at := float64(e.AtS)
		switch f := e.Fact.(type) {
		case exercises.PulseFelt:
			out = append(append(append(out, pulse(f, f.FromS-d.state().PhaseFromS(), d.o.List)...), during...), told(at, givenUp(e)...)...)
			during = nil
		case exercises.CuffFell:
			out = append(append(append(out, cuff(f, at, d.o.List)...), during...), told(at, givenUp(e)...)...)
			during = nil
		case exercises.BeatsTimed:
			out = append(append(append(out, told(at, timed(f)...)...), during...), told(at, givenUp(e)...)...)
			during = nil
		case exercises.Said:
			if f.To == "health" { // one question after the other
				answered++
				at = float64(began) + float64(e.AtS-began)*float64(answered)/float64(answers)
			}
			during = append(during, told(at, d.event(e)...)...)
		default:
			during = append(during, told(at, d.event(e)...)...)
		}
	}
	out = append(out, during...)
	if left := l.Command.Seconds - (l.AtS - began); left > 0 && (l.Command.Act == exercises.Wait || l.Command.Act == exercises.Rest) {
		out = append(out, piece{float64(l.AtS), fmt.Sprintf("(the %s ends here, %d s early)\n", l.Command.Act, left)})
	}
	return out
}

// show is what happened in whole lines.
func (d *dialogue) show(l exercises.Line, began int) []string { return together(d.pieces(l, began)) }

// together puts pieces together to lines.
func together(pieces []piece) []string {
	var text strings.Builder
	for _, p := range pieces {
		text.WriteString(p.text)
	}
	if text.Len() == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(text.String(), "\n"), "\n")
}
