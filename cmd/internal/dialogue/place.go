package dialogue

import (
	"fmt"
	"strconv"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// kp prints a resistance with a decimal, as the dial shows it.
func kp(x float64) string {
	s := number(x)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s + " kp"
}

// Place is one line that says where and when: the stage and its clock, the dial, the metronome.
func Place(s *exercises.State) string {
	clock := render.Clock(s.ClockS - s.PhaseFromS())
	var parts []string
	switch s.Phase() {
	case exercises.Before:
		return "before the test   " + render.Clock(s.ClockS) + "   " + seat(s.Where)
	case exercises.WarmUp:
		parts = []string{"warm-up", clock, kp(s.ResistanceKp), beat(s)}
	case exercises.Working:
		parts = []string{fmt.Sprintf("stage %d", s.Stage), clock, kp(s.ResistanceKp), beat(s)}
		if s.Extensions > 0 {
			parts = append(parts, fmt.Sprintf("extended %d min", s.Extensions))
		}
	case exercises.Recovery:
		parts = []string{"recovery", clock}
		if s.Pedalling {
			parts = append(parts, kp(s.ResistanceKp), beat(s))
		} else {
			parts = append(parts, seat(s.Where))
		}
	default:
		return "the sheet   (the person has left)"
	}
	if !s.Pedalling && s.Phase() != exercises.Recovery {
		parts = append(parts, "pedals still")
	}
	return strings.Join(parts, "   ")
}

func beat(s *exercises.State) string {
	if s.MetronomeRPM == 0 {
		return "metronome off"
	}
	return "metronome " + number(s.MetronomeRPM)
}

func seat(where string) string {
	switch where {
	case "chair":
		return "on the chair"
	case "cycle":
		return "on the cycle"
	case "lying":
		return "lying down"
	}
	return "standing"
}
