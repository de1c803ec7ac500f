package instrument

import (
	"time"

	"kilopond/physiology/unit"
)

// A Beat is one beat of the heart as it arrives at an artery: all that fingers and cuff can know of the body.
type Beat struct {
	At        time.Duration // since the encounter began, on a 1-ms grid
	Systolic  unit.Pressure // of this beat, as a perfect listener would read it
	Diastolic unit.Pressure
	Strength  float64 // 0 to 1: how plainly a finger feels it; a premature beat is weak
}
