package dialogue

import (
	"fmt"
	"slices"
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

// cuff shows a falling gauge.
func (d *dialogue) cuff(f exercises.CuffFell) []string { return CuffStrip(f, d.o.List) }

// CuffStrip shows a falling gauge: each mark with what was heard as the needle passed it.
func CuffStrip(f exercises.CuffFell, list bool) []string {
	var cells []string
	for i := range len(f.Heard) {
		mark := f.TopMmHg - instrument.GaugeStep*(i+1)
		word := heardAs[f.Heard[i]]
		if list && word == "." {
			word = "nothing"
		}
		cells = append(cells, fmt.Sprintf("%3d %s", mark, word))
	}
	out := []string{fmt.Sprintf("Pumped to %d. The needle falls:", f.TopMmHg)}
	for row := range slices.Chunk(cells, marksARow) {
		if list {
			out = append(out, "  "+strings.Join(row, "; "))
			continue
		}
		var line strings.Builder
		for _, c := range row {
			fmt.Fprintf(&line, "  %-13s", c)
		}
		out = append(out, strings.TrimRight(line.String(), " "))
	}
	if f.CutShort {
		return out
	}
	return append(out, "The rest of the air is let out.")
}
