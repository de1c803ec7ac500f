package unit

// A WorkRate is mechanical power at the flywheel, held in kg·m/min so that table work rates compare exactly.
type WorkRate float64

// A Resistance is the braking force on the flywheel, held in kiloponds (the weight of one kilogram).
type Resistance float64

// A Cadence is a pedalling rate in revolutions per minute.
type Cadence float64

const (
	KgmPerMin WorkRate   = 1
	Kilopond  Resistance = 1
	RPM       Cadence    = 1

	// StandardGravity is the weight in newtons of one kilogram. Source: [CODATA].
	StandardGravity = 9.80665
	// Watt is one watt in kg·m/min, about 6.118. Worked answers use the rulebook's printed constant instead.
	Watt = 60 / StandardGravity * KgmPerMin
	// FlywheelTravel is how far, in metres, the rim of the usual mechanically braked flywheel moves in one pedal turn. Source: [FORMSHEET].
	FlywheelTravel = 6.0
)

// WorkRate returns the power that the brake takes at the cadence: kp × rpm × 6 m.
func (r Resistance) WorkRate(c Cadence) WorkRate {
	return WorkRate(float64(r) * float64(c) * FlywheelTravel)
}

// Resistance returns the braking force that gives the work rate at the cadence, which must be positive.
func (w WorkRate) Resistance(c Cadence) Resistance {
	if c <= 0 {
		panic("unit: cadence must be positive")
	}
	return Resistance(float64(w) / (float64(c) * FlywheelTravel))
}

// Watts returns the power in watts by standard gravity.
func (w WorkRate) Watts() float64 { return float64(w / Watt) }
