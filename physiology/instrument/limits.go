package instrument

import "kilopond/physiology/unit"

// What the instruments can do. Source: [PRACTICE-INSTRUMENTS].
const (
	MaxResistance unit.Resistance = 7   // of the brake, kp
	MaxCadence    unit.Cadence    = 120 // of the metronome
	MaxPump                       = 300 // of the gauge, mmHg
	MinPump                       = 40
	MaxValve                      = 20.0 // mmHg/s, wide open
	MinValve                      = 1.0
	GaugeStep                     = 2 // mmHg between the marks
)
