package dialogue

import (
	"fmt"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// rowS is how many seconds of a count stand on one row: ten columns a second.
const rowS = 5

// pulse shows a count: a mark for each beat, a column a tenth of a second. No total: the counting is the student's.
func (d *dialogue) pulse(f exercises.PulseFelt) []string {
	s := d.state()
	start := f.FromS - s.PhaseFromS()
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
		label := fmt.Sprintf("%6s ", render.Clock(max(0, start)+rowS*row))
		if d.o.List {
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
