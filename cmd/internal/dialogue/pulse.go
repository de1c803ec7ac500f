package dialogue

import (
	"fmt"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// rowS is how many seconds of a count stand on one row: ten columns a second.
const rowS = 5

// mostListed is how many times of a list stand on one line of 80 columns.
const mostListed = 12

// PulseStrip shows a count: a mark for each beat, a column a tenth of a second, from startS on the clock. In a list each beat has its time
// instead. No total: the counting is the student's.
func PulseStrip(f exercises.PulseFelt, startS int, list bool) []string {
	return together(pulse(f, startS, list))
}

// pulse is the strip of a count as it comes, beat by beat; in a list row by row, as a screen reader reads.
func pulse(f exercises.PulseFelt, startS int, list bool) []piece {
	start := max(0, startS)
	var out []piece
	for row := 0; row < (f.Seconds+rowS-1)/rowS; row++ {
		from, to := rowS*row, min(rowS*(row+1), f.Seconds)
		out = append(out, piece{float64(f.FromS + from), fmt.Sprintf("%6s", render.Clock(start+from))})
		end := float64(f.FromS + to)
		column, sep, listed := 10*from, " ", 0
		for _, t := range f.Tenths {
			if t < 10*from || t >= 10*rowS*(row+1) {
				continue
			}
			if list {
				if listed++; listed > mostListed {
					sep, listed = ",\n"+strings.Repeat(" ", 7), 1
				}
				out = append(out, piece{end, fmt.Sprintf("%s%.1f", sep, float64(t)/10)})
				sep = ", "
				continue
			}
			out = append(out, piece{float64(f.FromS) + float64(t)/10, sep + strings.Repeat(" ", max(0, t-column)) + "|"})
			column, sep = max(column, t)+1, ""
		}
		out = append(out, piece{end, "\n"})
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
