package protocol

import (
	"fmt"
	"math"

	"kilopond/physiology/unit"
)

// allFormulas stand in the order of a test. Each works what it is given and says each step.
var allFormulas = []Formula{
	{"work_rate", "Work rate from resistance and cadence", ks(keyResistance, keyCadence), "work rate", "kgm/min", "FORMSHEET", func(in *inputs) any { return in.workRate() }},
	{"kgm_to_w", "kg·m/min to watts", ks(keyWorkRate, keyPerWatt), "power", "W", "FORMSHEET", func(in *inputs) any {
		w, k := in.num("work_rate_kgm_min"), in.num("kgm_min_per_w")
		in.step("%s / %s = %s W", num(w), num(k), num2(w/k))
		return w / k
	}},
	{"w_to_kgm", "Watts to kg·m/min", ks(keyWatts, keyPerWatt), "work rate", "kgm/min", "FORMSHEET", func(in *inputs) any {
		w, k := in.num("watts"), in.num("kgm_min_per_w")
		in.step("%s × %s = %s kg·m/min", num(w), num(k), num2(w*k))
		return w * k
	}},
	{"lb_to_kg", "Pounds to kilograms", ks(keyMassLb, keyLb), "body mass", "kg", "FORMSHEET", func(in *inputs) any { in.num("lb_per_kg"); return in.mass() }},
	{"vo2_leg_kgm", "Oxygen cost of leg cycling from kg·m/min: 1.8 × WR / kg + 7", ks(optional(keyWorkRate), optional(keyResistance), optional(keyCadence), optional(keyMass), optional(keyMassLb), optional(keyLb)), "gross VO2", "mL/kg/min", "BUSHMAN2020", func(in *inputs) any {
		w, m := in.workRate(), in.mass()
		v := float64(LegCost.VO2(unit.WorkRate(w), unit.Mass(m))) / m
		in.step("1.8 × %s / %s + 7 = %s mL/kg/min", num1(w), num2(m), num2(v))
		in.costRange(w)
		return v
	}},
	{"vo2_leg_w", "Oxygen cost of leg cycling from watts: 10.8 × W / kg + 7", ks(keyWatts, keyMass), "gross VO2", "mL/kg/min", "BUSHMAN2020", func(in *inputs) any {
		w, m := in.num("watts"), in.mass()
		v := 10.8*w/m + 7
		in.step("10.8 × %s / %s + 7 = %s mL/kg/min", num(w), num(m), num2(v))
		return v
	}},
	{"work_rate_for_vo2", "Work rate that costs so many METs", ks(keyMets, keyMass), "work rate", "kgm/min", "BUSHMAN2020", func(in *inputs) any {
		v, m := in.num("mets")*3.5, in.mass()
		w := float64(LegCost.WorkRate(unit.RelVO2(v).Of(unit.Mass(m)), unit.Mass(m)))
		in.step("%s METs × 3.5 = %s mL/kg/min", num(in.num("mets")), num2(v))
		in.step("(%s − 7) × %s / 1.8 = %s kg·m/min", num2(v), num(m), num1(w))
		return w
	}},
	{"watts_for_vo2", "Power that costs an oxygen uptake: (VO2 − 7) × kg / 10.8", ks(keyRel, keyMass), "power", "W", "BUSHMAN2020", func(in *inputs) any {
		v, m := in.num("vo2_ml_kg_min"), in.mass()
		w := (v - 7) * m / 10.8
		in.step("(%s − 7) × %s / 10.8 = %s W", num(v), num(m), num2(w))
		return w
	}},
	{"max_hr", "Predicted maximum heart rate", ks(keyMaxEq, keyAge, optional(keySex)), "predicted maximum", "bpm", "FOX1971, TANAKA2001, GELLISH2007, NES2013, JONES1985, GULATI2010, SYDO2014", func(in *inputs) any { return in.maxHR() }},
	{"percent_max_hr", "Part of the predicted maximum", ks(keyMaxEq, keyAge, optional(keySex), keyFraction), "part of maximum", "bpm", "CSEP2009", func(in *inputs) any {
		hr := in.maxHR() * in.num("fraction")
		in.step("%s of it: %s bpm", num(in.num("fraction")), num2(hr))
		return hr
	}},
	{"hr_reserve", "Heart-rate reserve: maximum − rest", ks(keyMaxEq, keyAge, optional(keySex), keyRest), "heart-rate reserve", "bpm", "KARVONEN1957", func(in *inputs) any {
		m, r := in.maxHR(), in.num("resting_hr_bpm")
		in.step("%s − %s = %s bpm", num2(m), num(r), num2(m-r))
		return m - r
	}},
	{"reserve_target_hr", "Heart rate at a part of the reserve", ks(keyMaxEq, keyAge, optional(keySex), keyRest, keyFraction), "target", "bpm", "KARVONEN1957", func(in *inputs) any {
		m, r, f := in.maxHR(), in.num("resting_hr_bpm"), in.num("fraction")
		hr := f*(m-r) + r
		in.step("%s × (%s − %s) + %s = %s bpm", num(f), num2(m), num(r), num(r), num2(hr))
		return hr
	}},
	{"reserve_target_vo2", "Oxygen uptake at a part of the reserve above 3.5", ks(InputKey{Name: "vo2max_ml_kg_min", Unit: "mL/kg/min", Meaning: "VO2max", Low: 3.5, High: 120}, keyFraction), "target VO2", "mL/kg/min", "SWAIN1997", func(in *inputs) any {
		m, f := in.num("vo2max_ml_kg_min"), in.num("fraction")
		v := f*(m-3.5) + 3.5
		in.step("%s × (%s − 3.5) + 3.5 = %s mL/kg/min", num(f), num(m), num2(v))
		return v
	}},
	{"vo2_extrapolated", "VO2max from oxygen uptake and heart rate of stages, on a straight line", ks(keyStagesVO2, keyMaxEq, keyAge, optional(keySex), optional(keyFit)), "VO2max", "mL/kg/min", "NHANES-CVX", func(in *inputs) any {
		if !in.has("fit") {
			in.given = with(in.given, "fit", string(FitTwoLast))
		}
		v, hr := in.points("stages_vo2")
		return in.lineAt(v, hr, in.maxHR())
	}},
	{"hr_slope", "Slope of heart rate on oxygen uptake", ks(keyStagesVO2), "slope of HR on VO2", "bpm per mL/kg/min", "NHANES-CVX", func(in *inputs) any {
		v, hr := in.points("stages_vo2")
		l, err := LeastSquares(v, hr)
		if err != nil {
			in.fail("stages_vo2", "two pairs or more, with different uptakes", "%v", err)
		}
		in.step("slope %s bpm for each mL/kg/min", num4(l.Slope))
		return l.Slope
	}},
	{"max_work_rate", "Power at a maximum heart rate, on the line of the stages", ks(InputKey{Name: "stages_w", Meaning: "WATTS:HR pairs", Low: 0, High: 2000, pairs: true}, keyMaxHR, keyFit), "power at that heart rate", "W", "PWC170", func(in *inputs) any {
		w, hr := in.points("stages_w")
		return in.lineAt(w, hr, in.num("max_hr_bpm"))
	}},
	{"estimate", "The whole calculation from steady stages, without a window", ks(InputKey{Name: "stages_kgm_min", Meaning: "WORKRATE:HR pairs", Low: 1, High: 5000, pairs: true}, keyMaxEq, keyAge, optional(keySex), keyMass, keyFit, InputKey{Name: "want", Meaning: "which result", text: []string{"max_work_rate_kgm_min", "vo2max_ml_kg_min", "mets"}}), "VO2max", "mL/kg/min", "CSEP2009, BUSHMAN2020", func(in *inputs) any {
		w, hr := in.points("stages_kgm_min")
		most := in.lineAt(w, hr, in.maxHR())
		m := in.mass()
		v := float64(LegCost.VO2(unit.WorkRate(most), unit.Mass(m))) / m
		switch in.text("want") {
		case "max_work_rate_kgm_min":
			return most
		case "mets":
			in.step("1.8 × %s / %s + 7 = %s mL/kg/min; / 3.5 = %s METs", num1(most), num(m), num2(v), num1(v/3.5))
			return v / 3.5
		}
		in.step("1.8 × %s / %s + 7 = %s mL/kg/min", num1(most), num(m), num2(v))
		return v
	}},
	{"estimable", "Whether stage heart rates rise enough for a line", ks(InputKey{Name: "stage_hr_bpm", Unit: "bpm", Meaning: "stage heart rates in order", Low: 25, High: 240, list: true}), "can be estimated", "1 yes 0 no", "NHANES-CVX", func(in *inputs) any {
		hr := in.nums("stage_hr_bpm")
		ok := len(hr) >= 2
		for i := 1; i < len(hr); i++ {
			in.step("%s − %s = %s; it must be more than 5", num(hr[i]), num(hr[i-1]), num(hr[i]-hr[i-1]))
			ok = ok && hr[i]-hr[i-1] > float64(Default().SmallestRise)
		}
		return yes(ok)
	}},
	{"in_window", "Whether a stage's heart rate may enter the line: 110 bpm to 85 % of maximum", ks(keyHR, keyMaxEq, keyAge, optional(keySex)), "stage may be used", "1 yes 0 no", "HK, CSEP2009", func(in *inputs) any {
		hr, m := in.num("hr_bpm"), in.maxHR()
		in.step("110 ≤ %s ≤ 0.85 × %s = %s", num(hr), num2(m), num2(0.85*m))
		return yes(InWindow(Default(), unit.HR(hr), Ceiling(Default(), unit.HR(m), 0)))
	}},
	{"single_stage", "VO2max from one steady stage", ks(keySex, optional(keyAbs), optional(keyRel), keyHR, keyMaxHR), "VO2max", "mL/kg/min", "SHEPHARD1972", func(in *inputs) any {
		name := "vo2_ml_kg_min"
		if in.has("vo2_l_min") {
			name = "vo2_l_min"
		} else if !in.has(name) {
			in.fail(name, "vo2_l_min or vo2_ml_kg_min", "is missing")
			return 0.0
		}
		sex, v, hr, m := in.sex(), in.num(name), in.num("hr_bpm"), in.num("max_hr_bpm")
		c := float64(SingleStageConstant(sex))
		if hr <= c {
			in.fail("hr_bpm", fmt.Sprintf("above %s", num(c)), "%s is not above the constant", num(hr))
			return 0.0
		}
		out := SingleStage(sex, v, unit.HR(hr), unit.HR(m))
		in.step("%s × (%s − %s) / (%s − %s) = %s", num(v), num(m), num(c), num(hr), num(c), num2(out))
		return out
	}},
	{"astrand_table", "The nomogram's table, before the age factor", ks(keySex, keyWorkRate, keyHR), "VO2max before age factor", "L/min", "ASTRAND1960, HOUSH-LAB4", func(in *inputs) any {
		v, err := Nomogram(in.sex(), unit.WorkRate(in.num("work_rate_kgm_min")), unit.HR(in.num("hr_bpm")))
		if err != nil {
			in.fail("", "men 300–1500 in steps of 300, women 300–900 in steps of 150; heart rate 120–170", "%v", err)
		}
		in.step("table: %s L/min (from memory but for one cell)", num2(v))
		return v
	}},
	{"astrand_corrected", "A nomogram value times an age factor", ks(InputKey{Name: "vo2max_l_min", Unit: "L/min", Meaning: "before correction", Low: 0.3, High: 10}, InputKey{Name: "age_factor", Meaning: "factor", Low: 0.3, High: 1.5}), "VO2max", "L/min", "ASTRAND1960", func(in *inputs) any {
		v, f := in.num("vo2max_l_min"), in.num("age_factor")
		in.step("%s × %s = %s L/min", num(v), num(f), num4(v*f))
		return v * f
	}},
	{"astrand_age_factor", "Age factor of the nomogram, 15–65 years", ks(keyAge), "age factor", "ratio", "ASTRAND1960", func(in *inputs) any {
		f, err := AgeFactor(unit.Age(in.num("age_y")))
		if err != nil {
			in.fail("age_y", "15 to 65", "%v", err)
		}
		in.step("factor %s", num4(f))
		return f
	}},
	{"branch", "Work rate of a stage from the heart rate of stage 1, four bands", ks(keyHR, InputKey{Name: "stage", Meaning: "stage number", Low: 1, High: 12}), "work rate of that stage", "kgm/min", "CSEP2009, HAND", func(in *inputs) any {
		hr, stage := in.num("hr_bpm"), in.num("stage")
		if stage != math.Trunc(stage) {
			in.fail("stage", "a whole number from 1", "%s is not a stage", num(stage))
		}
		band, table := Branch(Default(), unit.HR(hr))
		w := float64(WorkRateOfStage(Default(), band, max(1, int(stage))))
		in.step("%s bpm falls in band %d: %v, then 150 more each stage", num(hr), band+1, table)
		return w
	}},
	{"steady", "Whether the last two minutes agree", ks(keyMinutes, InputKey{Name: "rule", Meaning: "le5, lt5, le6", text: []string{"le5", "lt5", "le6"}}), "steady", "1 yes 0 no", "CSEP2009, DEMO-LT5, KINE4315", func(in *inputs) any {
		hr := in.nums("minute_hr_bpm")
		rule := SteadyRule(in.text("rule"))
		if n := len(hr); n >= 2 {
			in.step("%s and %s differ by %s", num(hr[n-2]), num(hr[n-1]), num(math.Abs(hr[n-1]-hr[n-2])))
		}
		return yes(Steady(rule, Default().Count, hrs(hr)))
	}},
	{"stage_hr", "Heart rate that stands for a stage", ks(keyMinutes, InputKey{Name: "rule", Meaning: "mean_last_two or last", text: texts(StageHRRules())}), "stage heart rate", "bpm", "HK", func(in *inputs) any {
		hr := in.nums("minute_hr_bpm")
		rule := in.text("rule")
		if in.err != nil {
			return 0.0
		}
		out := float64(StageHR(StageHRRule(rule), hrs(hr)))
		in.step("%s bpm", num2(out))
		return out
	}},
	{"stop", "Whether a heart rate ends the test", ks(keyHR, keyMaxEq, keyAge, optional(keySex), InputKey{Name: "rule", Meaning: "at_85 or within10", text: texts(EndRules())}), "end the test", "1 yes 0 no", "HK, CSEP2009", func(in *inputs) any {
		r := Default()
		r.End = EndRule(in.text("rule"))
		hr, m := in.num("hr_bpm"), in.maxHR()
		c := Ceiling(r, unit.HR(m), 0)
		in.step("ceiling 0.85 × %s = %s bpm; heart rate %s", num2(m), num2(float64(c)), num(hr))
		return yes(AtCeiling(r, unit.HR(hr), c, true))
	}},
	{"mets", "Oxygen uptake in METs", ks(keyRel), "METs", "METs", "FORMSHEET", func(in *inputs) any {
		v := in.num("vo2_ml_kg_min")
		in.step("%s / 3.5 = %s", num(v), num2(v/3.5))
		return v / 3.5
	}},
	{"vo2_from_mets", "METs as oxygen uptake", ks(keyMets), "VO2", "mL/kg/min", "FORMSHEET", func(in *inputs) any {
		m := in.num("mets")
		in.step("%s × 3.5 = %s mL/kg/min", num(m), num2(m*3.5))
		return m * 3.5
	}},
	{"abs_from_rel", "mL/kg/min to L/min", ks(keyRel, keyMass), "VO2", "L/min", "FORMSHEET", func(in *inputs) any {
		v, m := in.num("vo2_ml_kg_min"), in.num("mass_kg")
		in.step("%s × %s / 1000 = %s L/min", num(v), num(m), num4(v*m/1000))
		return v * m / 1000
	}},
	{"rel_from_abs", "L/min to mL/kg/min", ks(keyAbs, keyMass), "VO2max", "mL/kg/min", "FORMSHEET", func(in *inputs) any {
		v, m := in.num("vo2_l_min"), in.num("mass_kg")
		in.step("%s × 1000 / %s = %s mL/kg/min", num(v), num(m), num2(v*1000/m))
		return v * 1000 / m
	}},
	{"kcal_min", "Energy from METs: METs × 3.5 × kg / 200", ks(keyMets, keyMass), "energy", "kcal/min", "FORMSHEET", func(in *inputs) any {
		e, m := in.num("mets"), in.num("mass_kg")
		v := e * 3.5 * m / 200
		in.step("%s × 3.5 × %s / 200 = %s kcal/min", num(e), num(m), num2(v))
		return v
	}},
	{"category", "Fitness category by a table of norms", ks(keySex, InputKey{Name: "age_y", Unit: "y", Meaning: "age", Low: 18, High: 99}, keyRel, optional(InputKey{Name: "norms", Meaning: "the table, six-class where none is named", text: NormNames()})), "fitness category", "text", "COOPER1997, KAMINSKY2017, LOE2013", func(in *inputs) any {
		s, a, v, t := in.sex(), in.num("age_y"), in.num("vo2_ml_kg_min"), Default().NormTable()
		if in.has("norms") {
			t = Rules{Norms: in.text("norms")}.NormTable()
		}
		if in.err != nil {
			return ""
		}
		c := t.Category(s, unit.Age(a), unit.RelVO2(v))
		in.step("%s", t.Described())
		in.step("age %s, %s: %s mL/kg/min is %s", num(a), s, num(v), c)
		if outside := t.OutsideRows(unit.Age(a)); outside != "" {
			in.warn("%s", outside)
		}
		return c
	}},
	{"median_vo2max", "Median VO2max of a registry", ks(InputKey{Name: "mode", Meaning: "treadmill or cycle", text: []string{"treadmill", "cycle"}}, keySex, InputKey{Name: "age_band", Meaning: "20-29 or 70-79", text: []string{"20-29", "70-79"}}), "50th percentile", "mL/kg/min", "KAMINSKY2015, KAMINSKY2017", func(in *inputs) any {
		v, err := Median(in.text("mode"), in.sex(), in.text("age_band"))
		if err != nil {
			in.fail("", "", "%v", err)
		}
		in.step("table: %s mL/kg/min", num1(float64(v)))
		return float64(v)
	}},
	{"map", "Mean arterial pressure: diastolic + a third of the pulse pressure", ks(keySBP, keyDBP), "mean arterial pressure", "mmHg", "OPENSTAX-AP", func(in *inputs) any {
		s, d := in.pressures()
		v := float64(MeanPressure(s, d))
		in.step("%s + (%s − %s) / 3 = %s mmHg", num(float64(d)), num(float64(s)), num(float64(d)), num2(v))
		return v
	}},
	{"pulse_pressure", "Systolic − diastolic", ks(keySBP, keyDBP), "pulse pressure", "mmHg", "OPENSTAX-AP", func(in *inputs) any {
		s, d := in.pressures()
		in.step("%s − %s = %s mmHg", num(float64(s)), num(float64(d)), num(float64(s-d)))
		return float64(s - d)
	}},
	{"rpp", "Rate–pressure product", ks(keyHR, keySBP), "rate-pressure product", "bpm mmHg", "WIKI-RPP", func(in *inputs) any {
		h, s := in.num("hr_bpm"), in.num("sbp_mmhg")
		in.step("%s × %s = %s", num(h), num(s), num(h*s))
		return RatePressureProduct(unit.HR(h), unit.Pressure(s))
	}},
	{"rpp_band", "Band of a peak rate–pressure product", ks(InputKey{Name: "rpp", Unit: "bpm mmHg", Meaning: "product", Low: 0, High: 80000}), "band", "text", "WIKI-RPP", func(in *inputs) any {
		b := RatePressureBand(in.num("rpp"))
		in.step("%s is %s", num(in.num("rpp")), b)
		return b
	}},
	{"regression", "Least squares of y on x", ks(keyX, keyY, InputKey{Name: "want", Meaning: "which result", text: []string{"slope", "intercept", "rsd", "r2"}}), "of the line", "", "NORRIS, ANSCOMBE1973", func(in *inputs) any {
		l, err := LeastSquares(in.nums("x"), in.nums("y"))
		if err != nil {
			in.fail("", "as many y as x, two or more, not all x equal", "%v", err)
		}
		in.step("slope %v, intercept %v, residual SD %v, R² %v", l.Slope, l.Intercept, l.ResidualSD, l.R2)
		return map[string]float64{"slope": l.Slope, "intercept": l.Intercept, "rsd": l.ResidualSD, "r2": l.R2}[in.text("want")]
	}},
	{"regression_origin", "Least squares of y on x through the origin", ks(keyX, keyY, InputKey{Name: "want", Meaning: "slope", text: []string{"slope"}}), "slope through the origin", "", "NOINT1", func(in *inputs) any {
		s, err := ThroughOrigin(in.nums("x"), in.nums("y"))
		if err != nil {
			in.fail("", "as many y as x, not all x 0", "%v", err)
		}
		in.text("want")
		in.step("slope %v", s)
		return s
	}},
}
