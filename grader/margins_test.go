package grader

import (
	"testing"

	"kilopond/exercises"
)

// TestMargins: three signed distances on one sheet, by hand. The sheet gives 32.2; perfect readings 115 and 127 give a slope of 0.08, 1112.5
// kg·m/min and 1.8 × 1112.5 / 70 + 7 = 35.61.
func TestMargins(t *testing.T) {
	h := &handmade{book: Default(), sex: "M", age: 40, stages: handStages("150:104 300:112 450:127")}
	h.ride(70)
	h.calculate(map[exercises.Key]string{exercises.KeyVO2Rel: "33"})
	h.handIn(40, perfect(104, 115, 127)...)
	m := Grade(h.book, h.course(t)).Margins
	for _, c := range []struct {
		name        string
		got         Margin
		ml, percent float64
	}{
		{"A", m.A, 0.8, 2.5},       // 33 − 32.2
		{"M", m.M, -3.41, -9.6},    // 32.2 − 35.607
		{"T", m.T, -7.0, -7 * 2.5}, // 33 − 40
	} {
		if c.got.MlKgMin == nil || c.got.Percent == nil || *c.got.MlKgMin != c.ml || *c.got.Percent != c.percent || c.got.WhyNot != "" {
			t.Errorf("%s: %s, want %v mL/kg/min, %v %%", c.name, shown(c.got), c.ml, c.percent)
		}
	}
}

func perfect(rates ...float64) (all []exercises.MinuteTruth) {
	for i, hr := range rates {
		for m := range 3 {
			all = append(all, exercises.MinuteTruth{Stage: i + 1, Minute: m + 1, HRbpm: hr})
		}
	}
	return all
}

func shown(m Margin) string {
	if m.MlKgMin == nil || m.Percent == nil {
		return "none: " + m.WhyNot
	}
	return plainNumber(*m.MlKgMin) + " mL/kg/min, " + plainNumber(*m.Percent) + " %"
}

// TestMarginsMissing: where one of the two values cannot be had there is no margin, and the reason stands there.
func TestMarginsMissing(t *testing.T) {
	for _, c := range []struct {
		name, stages string
		estimate     string
		perfect      []float64
		handed       bool
		a, m, t      string // why not; "" when it is there
	}{
		{"nothing calculated", "150:104 300:112 450:127", "", []float64{104, 112, 127}, true, "the sheet holds no estimate", "", "the sheet holds no estimate"},
		{"a number on a sheet without points", "150:96 300:104", "30", []float64{96, 104}, true, "no usable stage; the rules ask for 2", "no usable stage; the rules ask for 2", ""},
		{"perfect readings without points", "150:104 300:112 450:127", "32.2", []float64{90, 95, 100}, true, "", "no usable stage; the rules ask for 2", ""},
		{"not handed in", "150:104 300:112 450:127", "32.2", nil, false, "", "not handed in: perfect readings are not told yet", "not handed in: the truth is not told yet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := &handmade{book: Default(), sex: "M", age: 40, stages: handStages(c.stages)}
			h.ride(70)
			h.calculate(map[exercises.Key]string{exercises.KeyVO2Rel: c.estimate})
			if c.handed {
				h.handIn(40, perfect(c.perfect...)...)
			}
			r := Grade(h.book, h.course(t))
			for _, k := range []struct {
				name string
				got  Margin
				why  string
			}{{"A", r.Margins.A, c.a}, {"M", r.Margins.M, c.m}, {"T", r.Margins.T, c.t}} {
				if k.got.WhyNot != k.why || (k.got.MlKgMin == nil) != (k.why != "") || (k.got.Percent == nil) != (k.why != "") {
					t.Errorf("%s: %s, want %q", k.name, shown(k.got), k.why)
				}
			}
			if (r.Truth != nil) != c.handed {
				t.Errorf("truth told: %v, handed in: %v", r.Truth != nil, c.handed)
			}
		})
	}
}
