package dialogue

import (
	"fmt"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// titles are the printed names of the sheet's boxes, with their units.
var titles = map[exercises.Key][2]string{
	exercises.KeyAge: {"age", " y"}, exercises.KeyMass: {"mass", " kg"}, exercises.KeyHeight: {"height", " cm"}, exercises.KeyArm: {"arm", " cm"},
	exercises.KeyMaxHR: {"predicted maximum", " bpm"}, exercises.KeyCeiling: {"ceiling", " bpm"},
	exercises.KeyCeilingCount: {"ceiling as a count", " beats"}, exercises.KeyBandCounts: {"band limits as counts", ""},
	exercises.KeyBeats: {"beats", ""}, exercises.KeyHR: {"heart rate", " bpm"}, exercises.KeyBP: {"pressure", " mmHg"}, exercises.KeyRPE: {"exertion", ""},
	exercises.KeyCadence: {"cadence", " rpm"}, exercises.KeyResistance: {"resistance", " kp"}, exercises.KeySymptoms: {"symptoms", ""},
	exercises.KeyReason: {"reason for ending", ""}, exercises.KeyPoints: {"stages used", ""}, exercises.KeySlope: {"slope", " bpm per kg·m/min"},
	exercises.KeyMaxWorkRate: {"maximal work rate", " kg·m/min"}, exercises.KeyVO2Abs: {"VO2max", " L/min"}, exercises.KeyVO2Rel: {"VO2max", " mL/kg/min"},
	exercises.KeyMETs: {"VO2max", " METs"}, exercises.KeyRating: {"rating", ""}, exercises.KeyErrorRange: {"error range", " %"},
	exercises.KeyNoEstimate: {"no estimate", ""},
}

// placed are the boxes that belong to a stage and a minute.
var placed = map[exercises.Key]bool{
	exercises.KeyBeats: true, exercises.KeyHR: true, exercises.KeyBP: true, exercises.KeyRPE: true, exercises.KeyCadence: true,
	exercises.KeyResistance: true, exercises.KeySymptoms: true,
}

// entryText is one entry as it stands on the paper.
func entryText(key exercises.Key, text string, stage, minute int) string {
	t := titles[key]
	line := fmt.Sprintf("%s %s%s", t[0], text, t[1])
	if placed[key] {
		return placeOf(stage, minute) + ": " + line
	}
	return line
}

// sheet is everything that was written; what is struck out stays legible.
func (d *dialogue) sheet() []string {
	items := d.state().Items
	if len(items) == 0 {
		return []string{"Nothing is written yet."}
	}
	who := d.state().Header.Subject
	out := []string{fmt.Sprintf("Data sheet of %s, %s, %d", who.Name, sexWord(who.Sex), who.AgeY)}
	for _, it := range items {
		line := entryText(it.Key, it.Text, it.Stage, it.Minute)
		if it.Struck {
			line += " (struck out)"
		}
		out = append(out, render.Wrap(line, width, fmt.Sprintf("%3d  ", it.Number), "     ")...)
	}
	return out
}
