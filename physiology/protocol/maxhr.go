package protocol

import (
	"fmt"

	"kilopond/physiology/unit"
)

// The equations for maximum heart rate, named as printed. Source: [FOX1971], [TANAKA2001], [GELLISH2007], [NES2013], [JONES1985],
// [GULATI2010], [SYDO2014].
const (
	Fox     MaxHREquation = "220-age"
	Tanaka  MaxHREquation = "208-0.7age"
	Gellish MaxHREquation = "206.9-0.67age"
	Nes     MaxHREquation = "211-0.64age"
	Jones   MaxHREquation = "202-0.72age"
	Gulati  MaxHREquation = "206-0.88age"
	Sydo    MaxHREquation = "sydo"
)

// MaxHREquations lists the equations in the order of the page.
func MaxHREquations() []MaxHREquation {
	return []MaxHREquation{Fox, Tanaka, Gellish, Nes, Jones, Gulati, Sydo}
}

// line returns intercept and fall per year; only Sydó's differs by sex.
func (eq MaxHREquation) line(sex unit.Sex) (at0, perYear float64, ok bool) {
	switch eq {
	case Fox:
		return 220, 1, true
	case Tanaka:
		return 208, 0.7, true
	case Gellish:
		return 206.9, 0.67, true
	case Nes:
		return 211, 0.64, true
	case Jones:
		return 202, 0.72, true
	case Gulati:
		return 206, 0.88, true
	case Sydo:
		if sex == unit.Female {
			return 210, 0.79, true
		}
		return 220, 0.95, true
	}
	return 0, 0, false
}

// bySex reports whether the equation is one for men and another for women.
func (eq MaxHREquation) bySex() bool {
	man, perYear, _ := eq.line(unit.Male)
	woman, herPerYear, _ := eq.line(unit.Female)
	return man != woman || perYear != herPerYear
}

// PredictedMaxHR returns the maximum heart rate that the equation predicts. Scatter between people is 10–12 bpm (SD) for all of them.
func PredictedMaxHR(eq MaxHREquation, sex unit.Sex, age unit.Age) (unit.HR, error) {
	at0, perYear, ok := eq.line(sex)
	if !ok {
		return 0, fmt.Errorf("max_hr %q: not an equation of this tool", string(eq))
	}
	return unit.HR(at0 - float64(perYear*float64(age))), nil
}

// written returns the equation with the numbers put in.
func (eq MaxHREquation) written(sex unit.Sex, age unit.Age) string {
	at0, perYear, _ := eq.line(sex)
	if perYear == 1 {
		return fmt.Sprintf("%s − %s", num(at0), num(float64(age)))
	}
	return fmt.Sprintf("%s − %s × %s", num(at0), num(perYear), num(float64(age)))
}
