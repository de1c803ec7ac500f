package dialogue

import (
	"fmt"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// entryText is one entry as it stands on the paper.
func entryText(key exercises.Key, text string, stage, minute int) string {
	name, unit := render.Box(key)
	row := render.SheetRow{Box: name, Wrote: text, Unit: unit}
	if render.Placed(key) {
		row.Place = render.Place(stage, minute)
	}
	return row.Line()
}

// sheet is everything that was written; what is struck out stays legible.
func (d *dialogue) sheet() []string {
	items := d.state().Items
	if len(items) == 0 {
		return []string{"Nothing is written yet."}
	}
	who := d.state().Header.Subject
	out := []string{fmt.Sprintf("Data sheet of %s, %s, %d", who.Name, render.SexWord(who.Sex), who.AgeY)}
	for _, it := range items {
		line := entryText(it.Key, it.Text, it.Stage, it.Minute)
		if it.Struck {
			line += " (struck out)"
		}
		out = append(out, render.Wrap(line, width, fmt.Sprintf("%3d  ", it.Number), "     ")...)
	}
	return out
}
