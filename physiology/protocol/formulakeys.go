package protocol

import (
	"math"
	"strings"

	"kilopond/physiology/unit"
)

// Inputs that several formulas take.
var (
	keyResistance = InputKey{Name: "resistance_kp", Unit: "kp", Meaning: "braking force on the flywheel", Low: 0, High: 20}
	keyCadence    = InputKey{Name: "cadence_rpm", Unit: "rpm", Meaning: "pedal turns a minute", Low: 1, High: 200}
	keyWorkRate   = InputKey{Name: "work_rate_kgm_min", Unit: "kgm/min", Meaning: "work rate", Low: 0, High: 5000}
	keyWatts      = InputKey{Name: "watts", Unit: "W", Meaning: "power", Low: 0, High: 2000}
	keyPerWatt    = InputKey{Name: "kgm_min_per_w", Unit: "kgm/min per W", Meaning: "as the house prints it", Low: 5.9, High: 6.3}
	keyMass       = InputKey{Name: "mass_kg", Unit: "kg", Meaning: "body mass", Low: 20, High: 300}
	keyMassLb     = InputKey{Name: "mass_lb", Unit: "lb", Meaning: "body mass", Low: 40, High: 700}
	keyLb         = InputKey{Name: "lb_per_kg", Unit: "lb per kg", Meaning: "2.2 or 2.2046", Low: 2.19, High: 2.21}
	keyAge        = InputKey{Name: "age_y", Unit: "y", Meaning: "age", Low: 1, High: 120}
	keyMaxEq      = InputKey{Name: "max_hr", Meaning: "equation for the maximum", text: texts(MaxHREquations())}
	keyFraction   = InputKey{Name: "fraction", Meaning: "part of the whole", Low: 0, High: 1}
	keyRest       = InputKey{Name: "resting_hr_bpm", Unit: "bpm", Meaning: "resting heart rate", Low: 25, High: 150}
	keyHR         = InputKey{Name: "hr_bpm", Unit: "bpm", Meaning: "heart rate", Low: 25, High: 240}
	keyMaxHR      = InputKey{Name: "max_hr_bpm", Unit: "bpm", Meaning: "maximum heart rate", Low: 80, High: 240}
	keyRel        = InputKey{Name: "vo2_ml_kg_min", Unit: "mL/kg/min", Meaning: "oxygen uptake", Low: 0, High: 120}
	keyAbs        = InputKey{Name: "vo2_l_min", Unit: "L/min", Meaning: "oxygen uptake", Low: 0, High: 10}
	keyMets       = InputKey{Name: "mets", Unit: "METs", Meaning: "oxygen uptake as a multiple of 3.5 mL/kg/min", Low: 0, High: 35}
	keySex        = InputKey{Name: "sex", Meaning: "M or F", text: []string{"M", "F"}}
	keyFit        = InputKey{Name: "fit", Meaning: "how the line is drawn", text: texts(Fits())}
	keySBP        = InputKey{Name: "sbp_mmhg", Unit: "mmHg", Meaning: "systolic pressure", Low: 30, High: 350}
	keyDBP        = InputKey{Name: "dbp_mmhg", Unit: "mmHg", Meaning: "diastolic pressure", Low: 0, High: 250}
	keyStagesVO2  = InputKey{Name: "stages_vo2", Meaning: "VO2:HR pairs", Low: 0, High: 120, pairs: true}
	keyMinutes    = InputKey{Name: "minute_hr_bpm", Unit: "bpm", Meaning: "heart rates of the minutes in order", Low: 25, High: 240, list: true}
	keyX          = InputKey{Name: "x", Meaning: "numbers", Low: -anyNumber, High: anyNumber, list: true}
	keyY          = InputKey{Name: "y", Meaning: "numbers", Low: -anyNumber, High: anyNumber, list: true}
	anyNumber     = math.Inf(1)
)

func texts[T ~string](all []T) []string {
	out := make([]string, len(all))
	for i, v := range all {
		out[i] = string(v)
	}
	return out
}

func optional(k InputKey) InputKey { k.Optional = true; return k }

func ks(all ...InputKey) []InputKey { return all }

// mass reads body mass in kilograms, also from pounds.
func (in *inputs) mass() float64 {
	if in.has("mass_lb") {
		m := in.num("mass_lb") / in.numOr("lb_per_kg", 2.2046)
		in.step("%s lb / %s = %s kg", num(in.num("mass_lb")), num(in.numOr("lb_per_kg", 2.2046)), num2(m))
		return m
	}
	if !in.has("mass_kg") {
		in.fail("mass_kg", "mass_kg, or mass_lb with lb_per_kg", "is missing")
		return 1
	}
	return in.num("mass_kg")
}

// workRate reads a work rate, also from resistance and cadence.
func (in *inputs) workRate() float64 {
	if in.has("work_rate_kgm_min") {
		return in.num("work_rate_kgm_min")
	}
	if !in.has("resistance_kp") || !in.has("cadence_rpm") {
		in.fail("work_rate_kgm_min", "work_rate_kgm_min, or resistance_kp with cadence_rpm", "is missing")
		return 0
	}
	w := float64(unit.Resistance(in.num("resistance_kp")).WorkRate(unit.Cadence(in.num("cadence_rpm"))))
	in.step("%s kp × %s rpm × 6 m = %s kg·m/min", num(in.num("resistance_kp")), num(in.num("cadence_rpm")), num1(w))
	return w
}

// maxHR works the predicted maximum. The sex is asked for only where the equation differs by it.
func (in *inputs) maxHR() float64 {
	eq, sex := MaxHREquation(in.text("max_hr")), unit.Male
	switch {
	case in.has("sex"):
		sex = in.sex()
	case eq.bySex():
		in.fail("sex", "M or F", "is missing: %s is one equation for men and another for women", eq)
		return 0
	}
	age := unit.Age(in.num("age_y"))
	hr, err := PredictedMaxHR(eq, sex, age)
	if err != nil {
		in.fail("max_hr", "", "%v", err)
		return 0
	}
	in.step("Predicted maximum: %s = %s bpm", eq.written(sex, age), num2(float64(hr)))
	return float64(hr)
}

func (in *inputs) costRange(w float64) {
	if w < float64(CostFrom) || w > float64(CostTo) {
		in.warn("published for %s–%s kg·m/min", num(float64(CostFrom)), num(float64(CostTo)))
	}
}

// lineAt fits and reads a line for a formula.
func (in *inputs) lineAt(work, hr []float64, at float64) float64 {
	if in.err != nil {
		return 0
	}
	if len(work) < 2 {
		in.fail("", "give two stages or more", "one stage gives no line")
		return 0
	}
	l, err := fitted(Fit(in.text("fit")), work, hr)
	if err != nil || !(l.Slope > 0) {
		in.fail("", "heart rate must rise with work, and no work rate may stand twice", "the line does not rise")
		return 0
	}
	w := (at - l.Intercept) / l.Slope
	in.step("Line: slope %s, at no work %s bpm", num4(l.Slope), num2(l.Intercept))
	in.step("At %s bpm: (%s − %s) / %s = %s", num2(at), num2(at), num2(l.Intercept), num4(l.Slope), num2(w))
	return w
}

// pressures reads a systolic and a diastolic that belong together.
func (in *inputs) pressures() (systolic, diastolic unit.Pressure) {
	s, d := in.num("sbp_mmhg"), in.num("dbp_mmhg")
	if d >= s {
		in.fail("dbp_mmhg", "below the systolic", "%s is not below the systolic %s", num(d), num(s))
	}
	return unit.Pressure(s), unit.Pressure(d)
}

// with is a copy of the map with one value more.
func with(m map[string]string, key, value string) map[string]string {
	out := map[string]string{key: value}
	for k, v := range m {
		out[k] = strings.TrimSpace(v)
	}
	return out
}
