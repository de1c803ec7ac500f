package body

import "kilopond/physiology/unit"

// A Posture is how the person is placed.
type Posture string

const (
	Chair    Posture = "chair"
	OnCycle  Posture = "cycle"
	Standing Posture = "standing"
	Lying    Posture = "lying"
)

// A Setting is what the proctor and the ergometer impose on the person during one second.
type Setting struct {
	Posture    Posture
	Pedalling  bool            // the person has been asked to pedal
	Resistance unit.Resistance // braking force really on the flywheel
	Metronome  unit.Cadence    // beat the person is asked to follow; 0 = silent
	Neck       unit.HR         // by how much fingers pressed on the neck slow the heart in the end; 0 = none are there
}
