package fidelity

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// reserveOf rests, rides three-minute stages 25 W apart and adds the maximum, where both reserves are used up: intercept (%), slope and r of the
// fraction of heart-rate reserve on that of VO2 reserve; then the slope of systolic pressure on watts over rest and stages.
func reserveOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	r, t := mount(p, 1), p.Traits
	r.sit(240)
	rest := r.Now()
	ofRate := func(hr float64) float64 { return (hr - float64(t.RestHR)) / float64(t.TrueMaxHR-t.RestHR) }
	v, h := []float64{0}, []float64{ofRate(float64(rest.HR))}
	w, sys := []float64{0}, []float64{float64(rest.SBP)}
	for _, s := range r.stages(180, 0.9, halves()[:6]) {
		v = append(v, (s.vo2-float64(t.VO2Rest))/float64(t.VO2Max-t.VO2Rest))
		h = append(h, ofRate(s.hr))
		w, sys = append(w, s.watts), append(sys, s.sbp)
	}
	if len(v) < 4 {
		return nil
	}
	_, up := stat.LinearRegression(w, sys, nil, false)
	v, h = append(v, 1), append(h, 1)
	a, b := stat.LinearRegression(v, h, nil, false)
	return record{female(t), 100 * a, b, stat.Correlation(v, h, nil), up, percentAt(0.6, v, h, t), percentAt(0.4, v, h, t)}
}

// percentAt is the percentage of maximum heart rate at a part of VO2max, by the person's own line between stages.
func percentAt(part float64, v, h []float64, t body.Traits) float64 {
	want := (part*float64(t.VO2Max) - float64(t.VO2Rest)) / float64(t.VO2Max-t.VO2Rest)
	for i := 1; i < len(v); i++ {
		if v[i] >= want && v[i] > v[i-1] {
			x := h[i-1] + (want-v[i-1])*(h[i]-h[i-1])/(v[i]-v[i-1])
			return 100 * (float64(t.RestHR) + x*float64(t.TrueMaxHR-t.RestHR)) / float64(t.TrueMaxHR)
		}
	}
	return nan
}

// fixedRate is the watts for each kilogram at which the steady heart rate is a given one, between two three-minute stages or beyond the last two.
func fixedRate(all []steady, p scenarios.Person, rate float64) float64 {
	if len(all) < 2 {
		return nan
	}
	i := 1
	for i < len(all)-1 && all[i].hr < rate {
		i++
	}
	a, b := all[i-1], all[i]
	return (a.watts + (rate-a.hr)*(b.watts-a.watts)/(b.hr-a.hr)) / float64(p.Traits.Mass)
}

// fixedRates are the watts for each kilogram at 150 and at 130.
func fixedRates(p scenarios.Person) record {
	all := mount(p, 1).stages(180, 0.95, halves())
	return record{fixedRate(all, p, 150), fixedRate(all, p, 130)}
}

func fixedRateMen(seed scenarios.Seed) record {
	return fixedRates(from(scenarios.Volunteers, 18, 64, unit.Male).Draw(seed))
}

func fixedRateWomen(seed scenarios.Seed) record {
	return fixedRates(from(scenarios.Volunteers, 18, 64, unit.Female).Draw(seed))
}

// threeQuartersOf is sex, age, and the watts for each kilogram at three quarters of the maximum heart rate that age predicts. Source: row C19.
func threeQuartersOf(seed scenarios.Seed) record {
	p := from(scenarios.Volunteers, 18, 64).Draw(seed)
	age := float64(p.Traits.Age)
	return record{female(p.Traits), age, fixedRate(mount(p, 1).stages(180, 0.95, halves()), p, 0.75*(208-0.7*age))}
}

// workOf rides four-minute stages on two days: bpm/W over 25 to 100 W; the difference at the second stage over √2; mL/min/W below the threshold.
func workOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	one, two := mount(p, 1).stages(240, 0.9, halves()), mount(p, 2).stages(240, 0.9, halves()[:2])
	gain, gap, cost := nan, nan, nan
	if len(one) >= 4 {
		gain = slopeOf(one[:4], func(s steady) float64 { return s.hr })
	}
	if len(one) >= 2 && len(two) >= 2 {
		gap = (one[1].hr - two[1].hr) / math.Sqrt2
	}
	below := 0
	for below < len(one) && one[below].vo2 < p.Traits.Threshold*float64(p.Traits.VO2Max) {
		below++
	}
	if below >= 3 {
		cost = slopeOf(one[:below], func(s steady) float64 { return s.vo2 })
	}
	return record{gain, gap, cost}
}

func slopeOf(all []steady, y func(steady) float64) float64 {
	var w, v []float64
	for _, s := range all {
		w, v = append(w, s.watts), append(v, y(s))
	}
	_, b := stat.LinearRegression(w, v, nil, false)
	return b
}

// uptakeOf steps a young man from rest on the cycle to nine tenths of his threshold and fits the rise of oxygen uptake.
func uptakeOf(seed scenarios.Seed) record {
	p := general(20, 28, unit.Male).Draw(seed)
	r := mount(p, 1)
	r.ride(240, 0, nil)
	var y []float64
	r.ride(240, load(p.Traits, 0.9*p.Traits.Threshold*float64(p.Traits.VO2Max)), func(n body.State) { y = append(y, float64(n.VO2)) })
	return record{tauOf(y)}
}

// stepOf steps a man from 45 to 62 % of VO2 reserve, about a rating of 13, and fits one exponential to the heart rate over a stage's three
// minutes: one source's steps lasted two. Over five, slow component and drift pass for slowness.
func stepOf(seed scenarios.Seed) record {
	p := general(20, 45, unit.Male).Draw(seed)
	r := mount(p, 1)
	r.ride(300, load(p.Traits, reserve(p.Traits, 0.45)), nil)
	var y []float64
	r.ride(180, load(p.Traits, reserve(p.Traits, 0.62)), func(n body.State) { y = append(y, float64(n.HR)) })
	return record{tauOf(y)}
}

// stepByAgeOf steps somebody from 20 to 60 % of VO2 reserve and fits one exponential to the heart rate over three minutes: age and time constant.
func stepByAgeOf(seed scenarios.Seed) record {
	p := general(19, 69).Draw(seed)
	r := mount(p, 1)
	r.ride(300, load(p.Traits, reserve(p.Traits, 0.2)), nil)
	var y []float64
	r.ride(180, load(p.Traits, reserve(p.Traits, 0.6)), func(n body.State) { y = append(y, float64(n.HR)) })
	return record{float64(p.Traits.Age), tauOf(y)}
}

// secondStageOf is the rise of heart rate from minute 2 to minute 3 of 450 after 150 kg·m/min, each the mean of the last 15 s.
func secondStageOf(seed scenarios.Seed) record {
	r := mount(general(18, 79).Draw(seed), 1)
	r.ride(300, 0.5, nil)
	var at [3]float64
	for minute := range 3 {
		r.ride(45, 1.5, nil)
		r.ride(15, 1.5, func(n body.State) { at[minute] += float64(n.HR) / 15 })
	}
	if r.Now().Demand > 0.95 {
		return nil
	}
	return record{at[2] - at[1]}
}

// driftOf is the slope of heart rate over minutes 5 to 9 of constant work at 80 % of the respiratory compensation point, 64 % of VO2max.
func driftOf(seed scenarios.Seed) record {
	p := general(35, 35, unit.Male).Draw(seed)
	r := mount(p, 1)
	var minute, hr []float64
	second := 0
	r.ride(540, load(p.Traits, 0.64*float64(p.Traits.VO2Max)), func(n body.State) {
		if second++; second > 300 {
			minute, hr = append(minute, float64(second)/60), append(hr, float64(n.HR))
		}
	})
	_, b := stat.LinearRegression(minute, hr, nil, false)
	return record{b}
}

// exertionOf rides three-minute stages up to nearly all of the reserve and then, on fresh legs, four minutes at the threshold: the person's own r
// cannot be had from a row that pools all stages, so each stage is a record of its own.
func exertionOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	r := mount(p, 1)
	row := make(record, 2*mostStages+1)
	for i := range row {
		row[i] = nan
	}
	for i, kp := range halves() {
		r.ride(180, kp, nil)
		if r.Now().Demand > 0.95 {
			break
		}
		row[2*i], row[2*i+1] = float64(r.Now().HR), float64(r.Exertion())
	}
	if kp := load(p.Traits, p.Traits.Threshold*float64(p.Traits.VO2Max)); kp > 0 {
		again := mount(p, 1)
		again.ride(240, kp, nil)
		row[2*mostStages] = float64(again.Exertion())
	}
	return row
}

// mostStages is how many stages halves has.
const mostStages = 14

// quartiles is the third quartile of a column over the first.
func quartiles(c int) func([]record) float64 {
	return func(all []record) float64 {
		x := column(all, c, nil)
		return quantileOf(0.75, x) / quantileOf(0.25, x)
	}
}

// aged are those of a sex and of an age in column 1.
func aged(sex func(record) bool, low, high float64) func(record) bool {
	return func(r record) bool { return sex(r) && r[1] >= low && r[1] <= high }
}

func workMeasures() []measure {
	isMan := func(r record) bool { return r[0] == 0 }
	isWoman := func(r record) bool { return r[0] == 1 }
	return []measure{
		{"C01", "reserve", mean(1, nil)},
		{"C02", "reserve", mean(2, nil)},
		{"C03", "reserve", sd(1, nil)},
		{"C04", "reserve", mean(3, nil)},
		{"B01", "reserve", mean(4, isMan)},
		{"B02", "reserve", sd(4, isMan)},
		{"B03", "reserve", mean(4, isWoman)},
		{"B12", "reserve", sd(4, isWoman)},
		{"C13", "reserve", mean(5, nil)},
		{"C14", "reserve", mean(6, nil)},
		{"C05", "men 18-64", median(0, nil)},
		{"C06", "women 18-64", median(1, nil)},
		{"C15", "women 18-64", median(0, nil)},
		{"C16", "men 18-64", median(1, nil)},
		{"C17", "men 18-64", quartiles(0)},
		{"C18", "women 18-64", quartiles(1)},
		{"C19", "three quarters", median(2, aged(isMan, 20, 29))},
		{"C20", "three quarters", median(2, aged(isMan, 56, 64))},
		{"C21", "three quarters", median(2, aged(isWoman, 20, 29))},
		{"C22", "three quarters", median(2, aged(isWoman, 56, 64))},
		{"C23", "step by age", slope(0, 1, nil)},
		{"C24", "step by age", correlation(0, 1, nil)},
		{"C07", "work", mean(0, nil)},
		{"C11", "work", sd(1, nil)},
		{"C12", "work", sd(0, nil)},
		{"O01", "work", mean(2, nil)},
		{"O02", "work", sd(2, nil)},
		{"O03", "young men's uptake", mean(0, nil)},
		{"C08", "step", mean(0, nil)},
		{"C09", "second stage", mean(0, nil)},
		{"C10", "drift", mean(0, nil)},
		{"P01", "exertion", func(all []record) float64 {
			var x, y []float64
			for _, r := range all {
				for i := range mostStages {
					if !math.IsNaN(r[2*i]) {
						x, y = append(x, r[2*i]), append(y, r[2*i+1])
					}
				}
			}
			return stat.Correlation(x, y, nil)
		}},
		{"P02", "exertion", mean(2*mostStages, nil)},
		{"P03", "exertion", sd(2*mostStages, nil)},
	}
}
