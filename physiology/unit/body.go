package unit

import "strings"

type (
	// An HR is a heart rate in beats per minute.
	HR float64
	// A Pressure is in mmHg.
	Pressure float64
	// A Mass is in kilograms.
	Mass float64
	// A Height is a person's stature in centimetres.
	Height float64
	// A Girth is the circumference of a limb in centimetres.
	Girth float64
	// An Age is in whole or fractional years.
	Age float64
	// A VO2 is an oxygen uptake in mL/min.
	VO2 float64
	// A RelVO2 is an oxygen uptake for each kilogram of body mass, in mL/kg/min.
	RelVO2 float64
	// METs is an oxygen uptake as a multiple of 3.5 mL/kg/min.
	METs float64
	// An RPE is a rating of perceived exertion on the scale from 6 to 20.
	RPE int
)

const (
	MlPerMin    VO2 = 1
	LitrePerMin VO2 = 1000 * MlPerMin
)

// LitresPerMin returns the uptake in L/min.
func (v VO2) LitresPerMin() float64 { return float64(v / LitrePerMin) }

// Per returns the uptake for each kilogram; the mass must be positive.
func (v VO2) Per(m Mass) RelVO2 {
	if m <= 0 {
		panic("unit: mass must be positive")
	}
	return RelVO2(float64(v) / float64(m))
}

// Of returns the uptake of a whole person of mass m.
func (r RelVO2) Of(m Mass) VO2 { return VO2(float64(r) * float64(m)) }

// A Sex is M or F; norms and equations are published for these two.
type Sex string

const (
	Male   Sex = "M"
	Female Sex = "F"
)

// ParseSex reads M, F, male or female, in small letters or capitals.
func ParseSex(text string) (Sex, bool) {
	switch strings.ToLower(text) {
	case "m", "male":
		return Male, true
	case "f", "female":
		return Female, true
	}
	return "", false
}
