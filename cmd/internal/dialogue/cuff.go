package dialogue

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
)

// heardAs are words for sounds, never for what they mean.
var heardAs = map[byte]string{
	instrument.Silence: ".", instrument.Creak: "creak", instrument.Faint: "faint tap", instrument.Tap: "tap",
	instrument.Swish: "swish", instrument.Knock: "knock", instrument.Dull: "dull",
}

// marksARow is how many gauge marks stand on one row.
const marksARow = 5

// CuffStrip shows a falling gauge: each mark with what was heard as the needle passed it.
func CuffStrip(f exercises.CuffFell, list bool) []string { return together(cuff(f, 0, list)) }

// cuff is the falling gauge as it comes, mark by mark; in a list row by row, as a screen reader reads. end is the second at which it was down.
func cuff(f exercises.CuffFell, end float64, list bool) []piece {
	open := min(end, float64(f.FromS+instrument.InflationS(f.TopMmHg)))
	passes := func(i int) float64 { return open + (end-open)*float64(i+1)/float64(len(f.Heard)) }
	out := told(open, fmt.Sprintf("Pumped to %d. The needle falls:", f.TopMmHg))
	fill := 0 // blanks owed before the next mark of the row
	for i := range len(f.Heard) {
		word := heardAs[f.Heard[i]]
		if list && word == "." {
			word = "nothing"
		}
		cell := fmt.Sprintf("%3d %s", f.TopMmHg-instrument.GaugeStep*(i+1), word)
		last := i == len(f.Heard)-1 || i%marksARow == marksARow-1
		at := passes(i)
		if list {
			at = passes(min(len(f.Heard), (i/marksARow+1)*marksARow) - 1)
		}
		sep := strings.Repeat(" ", fill) + "  "
		if list && i%marksARow > 0 {
			sep = "; "
		}
		fill = max(0, cellWide-len([]rune(cell)))
		if last {
			cell, fill = cell+"\n", 0
		}
		out = append(out, piece{at, sep + cell})
	}
	if f.CutShort {
		return out
	}
	return append(out, told(end, "The rest of the air is let out.")...)
}

// cellWide is how wide a mark and its sound stand in a row.
const cellWide = 13
