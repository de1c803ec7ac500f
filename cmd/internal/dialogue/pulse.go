package dialogue

import (
	"fmt"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// rowS is how many seconds of a count stand on one row: ten columns a second.
const rowS = 5

// pulse shows a count on the clock of the phase.
func (d *dialogue) pulse(f exercises.PulseFelt) []string {
	return PulseStrip(f, f.FromS-d.state().PhaseFromS(), d.o.List)
}

// PulseStrip shows a count: a mark for each beat, a column a tenth of a second, from startS on the clock. In a list each beat has its time
// instead. No total: the counting is the student's.
func PulseStrip(f exercises.PulseFelt, startS int, list bool) []string {
	var out []string
	for row := 0; row < (f.Seconds+rowS-1)/rowS; row++ {
		var marks []byte
		var times []string
		for _, t := range f.Tenths {
			if t < 10*rowS*row || t >= 10*rowS*(row+1) {
				continue
			}
			times = append(times, fmt.Sprintf("%.1f", float64(t)/10))
			for len(marks) < t-10*rowS*row {
				marks = append(marks, ' ')
			}
			marks = append(marks, '|')
		}
		label := fmt.Sprintf("%6s ", render.Clock(max(0, startS)+rowS*row))
		if list {
			out = append(out, strings.TrimRight(label+strings.Join(times, ", "), " "))
			continue
		}
		out = append(out, strings.TrimRight(label+string(marks), " "))
	}
	return out
}

// timed tells the time of a number of beats.
func timed(f exercises.BeatsTimed) []string {
	if f.CutShort {
		return nil
	}
	return []string{fmt.Sprintf("From beat zero to beat %d: %.1f s on the watch.", f.Beats, float64(f.Tenths)/10)}
}
