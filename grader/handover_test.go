package grader

import (
	"strings"
	"testing"
)

// A hand-over is read for its parts, in any order, in odd spelling, in short hand; what is left out is named.
func TestHandOverIsReadForItsParts(t *testing.T) {
	for _, c := range []struct{ said, missing string }{
		{"Chest tightness at 12:10 at 1 kp, stopped, sitting since, pulse 96, 150/66, better now", ""},
		{"chst pian 18:52, stoped at wonce, siting on chiar, puls 112", ""},
		{"he went grey and wet in stage 3, load off, lying, 90/60", ""},
		{"Collapsed 2 min into recovery; legs up; HR 88, BP 90/60, talking", ""},
		{"pulse 52, was 140: fainted after the pedals stopped, laid flat, legs raised", ""},
		{"pulse 96 and 150/66 now. I stopped her at once because of a belt round the ribs. That was about 5 minutes ago.", ""},
		{"Le pasó algo raro en la etapa 2, a las 12:10, stop, 96", ""},
		{"pallor at 29:03; stopped, looked after since; last pulse 72, pressure 120/70", ""},
		{"low sugar, muddled, at 14 min. Gave juice, sat her down. HR 118", ""},
		{"all fine now 5", "what happened, when, or at what load, what was done, a pulse or a pressure"},
		{"chest pain", "when, or at what load, what was done, a pulse or a pressure"},
		{"chest pain at 12:10, stopped", "a pulse or a pressure"},
		{"stopped at 12:10, pulse 96", ""},
		{"chest pain, pulse 96, 150/66", "when, or at what load, what was done"},
		{"the patient had the thing at twelve, 120/80, I stopped", "when, or at what load"},
		{"stop stop stop stop stop 100", "what happened, when, or at what load"},
		{"", "what happened, when, or at what load, what was done, a pulse or a pressure"},
	} {
		if got := strings.Join(readHandOver(c.said).missing(), ", "); got != c.missing {
			t.Errorf("%q: missing %q, want %q", c.said, got, c.missing)
		}
	}
}
