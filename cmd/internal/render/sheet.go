package render

import (
	"fmt"
	"strings"

	"kilopond/exercises"
)

// boxes are the printed names of the sheet's boxes, with their units.
var boxes = map[exercises.Key][2]string{
	exercises.KeyAge: {"age", " y"}, exercises.KeyMass: {"mass", " kg"}, exercises.KeyHeight: {"height", " cm"}, exercises.KeyArm: {"arm", " cm"},
	exercises.KeyMaxHR: {"predicted maximum", " bpm"}, exercises.KeyCeiling: {"ceiling", " bpm"},
	exercises.KeyCeilingCount: {"ceiling as a count", " beats"}, exercises.KeyBandCounts: {"band limits as counts", ""},
	exercises.KeyBeats: {"beats", ""}, exercises.KeyHR: {"heart rate", " bpm"}, exercises.KeyBP: {"pressure", " mmHg"}, exercises.KeyRPE: {"exertion", ""},
	exercises.KeyCadence: {"cadence", " rpm"}, exercises.KeyResistance: {"resistance", " kp"}, exercises.KeySymptoms: {"symptoms", ""},
	exercises.KeyReason: {"reason for ending", ""}, exercises.KeyHandOver: {"hand-over", ""}, exercises.KeyPoints: {"stages used", ""}, exercises.KeySlope: {"slope", " bpm per kg·m/min"},
	exercises.KeyMaxWorkRate: {"maximal work rate", " kg·m/min"}, exercises.KeyVO2Abs: {"VO2max", " L/min"}, exercises.KeyVO2Rel: {"VO2max", " mL/kg/min"},
	exercises.KeyMETs: {"VO2max", " METs"}, exercises.KeyRating: {"rating", ""}, exercises.KeyErrorRange: {"error range", " %"},
	exercises.KeyNoEstimate: {"no estimate", ""},
}

// Box is the printed name of a box of the sheet, with its unit and the blank before it, or "".
func Box(key exercises.Key) (name, unit string) {
	b := boxes[key]
	return b[0], b[1]
}

// BoxWords puts a box's printed name for the name under which it is kept.
func BoxWords(text string) string {
	for _, key := range exercises.Keys() {
		text = strings.ReplaceAll(text, "box "+string(key)+" ", "box “"+boxName(key)+"” ")
	}
	return text
}

// boxName is a box's printed name, with the unit where only that tells it from another.
func boxName(key exercises.Key) string {
	name, unit := Box(key)
	for other := range boxes {
		if other != key && boxes[other][0] == name {
			return name + unit
		}
	}
	return name
}

// Placed says whether a box belongs to a stage and a minute.
func Placed(key exercises.Key) bool {
	switch key {
	case exercises.KeyBeats, exercises.KeyHR, exercises.KeyBP, exercises.KeyRPE, exercises.KeyCadence, exercises.KeyResistance, exercises.KeySymptoms:
		return true
	}
	return false
}

// Place names a stage and a minute of the sheet.
func Place(stage, minute int) string {
	switch {
	case stage == exercises.RecoveryStage && minute == 0:
		return "recovery"
	case stage > 0 && minute == 0:
		return fmt.Sprintf("stage %d", stage)
	case stage == exercises.RecoveryStage:
		return fmt.Sprintf("recovery, minute %d", minute)
	case stage > 0:
		return fmt.Sprintf("stage %d, minute %d", stage, minute)
	}
	return "at rest"
}
