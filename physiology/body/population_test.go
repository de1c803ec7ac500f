package body

import (
	"math"
	"sort"
	"testing"

	"gonum.org/v1/gonum/stat"

	"kilopond/physiology/unit"
)

// A band is one published statistic with the edges that were set beside it before anything was simulated, in the reference table of the project;
// ids are that table's. Nothing here is tuned to pass.
type band struct {
	id, what  string
	low, high float64
	source    string
}

func (b band) check(t *testing.T, got float64) {
	t.Helper()
	t.Logf("%s %s: %.3g (published band %.3g to %.3g, %s)", b.id, b.what, got, b.low, b.high, b.source)
	if got < b.low || got > b.high || math.IsNaN(got) {
		t.Errorf("%s %s = %.4g, want %.3g to %.3g [%s]", b.id, b.what, got, b.low, b.high, b.source)
	}
}

func people(n int, w Who) []Traits {
	all := make([]Traits, n)
	for i := range all {
		all[i] = DrawTraits(stream(uint64(i), "subject"), w)
	}
	return all
}

func pick(all []Traits, sex unit.Sex, low, high unit.Age, f func(Traits) float64) []float64 {
	var out []float64
	for _, p := range all {
		if (sex == "" || p.Sex == sex) && p.Age >= low && p.Age <= high {
			out = append(out, f(p))
		}
	}
	return out
}

func median(x []float64) float64 {
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	return stat.Quantile(0.5, stat.LinInterp, s, nil)
}

func TestTraitsAgainstPublishedPopulations(t *testing.T) {
	all := people(20000, Who{AgeLow: 18, AgeHigh: 79})
	m, f := unit.Male, unit.Female
	height := func(p Traits) float64 { return float64(p.Height) }
	mass := func(p Traits) float64 { return float64(p.Mass) }
	rest := func(p Traits) float64 { return float64(p.RestHR) }
	sbp := func(p Traits) float64 { return float64(p.RestSBP) }
	dbp := func(p Traits) float64 { return float64(p.RestDBP) }
	rel := func(p Traits) float64 { return float64(p.VO2Max.Per(p.Mass)) }
	mean := func(x []float64) float64 { return stat.Mean(x, nil) }
	sd := func(x []float64) float64 { return stat.StdDev(x, nil) }

	band{"A01", "mean height, men 20–79, cm", 174.5, 177.5, "NHANES 2009–2012"}.check(t, mean(pick(all, m, 20, 79, height)))
	band{"A02", "mean height, women 20–79, cm", 160.9, 163.9, "NHANES 2009–2012"}.check(t, mean(pick(all, f, 20, 79, height)))
	band{"A04", "mean mass, men 40–49, kg", 86, 96, "NHANES 2009–2012"}.check(t, mean(pick(all, m, 40, 49, mass)))
	band{"A07", "r of height with mass, men", 0.28, 0.52, "NHANES 2009–2012"}.check(t, stat.Correlation(pick(all, m, 20, 79, height), pick(all, m, 20, 79, mass), nil))
	band{"R01", "mean resting rate, men, bpm", 69, 73, "NHANES 2009–2012"}.check(t, mean(pick(all, m, 20, 79, rest)))
	band{"R02", "mean resting rate, women, bpm", 72, 77, "NHANES 2009–2012"}.check(t, mean(pick(all, f, 20, 79, rest)))
	band{"R03", "SD of resting rate, men", 9.8, 13, "NHANES 2009–2012; Fenland"}.check(t, sd(pick(all, m, 20, 79, rest)))
	band{"R05", "mean systolic, men 20–29", 115, 121, "NHANES 2009–2012"}.check(t, mean(pick(all, m, 20, 29, sbp)))
	band{"R08", "SD of systolic, men 40–49", 11, 16, "NHANES 2009–2012"}.check(t, sd(pick(all, m, 40, 49, sbp)))
	band{"R10", "r of systolic with diastolic, men", 0.3, 0.62, "NHANES 2009–2012"}.check(t, stat.Correlation(pick(all, m, 20, 79, sbp), pick(all, m, 20, 79, dbp), nil))
	band{"V01", "median VO2max, men 20–29", 39, 45, "Kaminsky 2017"}.check(t, median(pick(all, m, 20, 29, rel)))
	band{"V02", "median VO2max, women 20–29", 29.5, 36.5, "Kaminsky 2017"}.check(t, median(pick(all, f, 20, 29, rel)))
	band{"V03", "median VO2max, men 40–49", 31, 38, "Rapp 2018"}.check(t, median(pick(all, m, 40, 49, rel)))
	band{"V04", "median VO2max, women 40–49", 25, 32, "Rapp 2018"}.check(t, median(pick(all, f, 40, 49, rel)))
	band{"V05", "median VO2max, men 50–59", 27, 34, "Rapp 2018"}.check(t, median(pick(all, m, 50, 59, rel)))
	band{"V07", "median VO2max, men 70–79", 18.5, 25, "Kaminsky 2017; Pistea 2016"}.check(t, median(pick(all, m, 70, 79, rel)))
	band{"V08", "median VO2max, women 70–79", 14, 20, "Kaminsky 2017; Pistea 2016"}.check(t, median(pick(all, f, 70, 79, rel)))
	young := pick(all, m, 20, 29, rel)
	band{"V09", "CV of VO2max, men 20–29, %", 14, 25, "Loe 2013"}.check(t, 100*sd(young)/mean(young))

	var off, beyond []float64
	for _, p := range all {
		off = append(off, float64(p.TrueMaxHR)-(208-0.7*float64(p.Age)))
		far := 0.0
		if math.Abs(float64(p.TrueMaxHR)-(220-float64(p.Age))) > 10 {
			far = 100
		}
		beyond = append(beyond, far)
	}
	band{"H01", "SD of HRmax about 208 − 0.7 age", 9, 11, "Jones 1985; Nes 2013"}.check(t, sd(off))
	band{"H04", "share more than 10 bpm from 220 − age, %", 30, 46, "derived"}.check(t, mean(beyond))
	cost := pick(all, "", 18, 79, func(p Traits) float64 { return p.O2Cost })
	band{"O01", "mean cost of a watt, mL/min", 9.8, 11, "Hansen 1987"}.check(t, mean(cost))
	band{"O02", "SD of it", 0.4, 1.05, "Hansen 1987; Özyener 2011"}.check(t, sd(cost))
	tau := pick(people(4000, Who{AgeLow: 20, AgeHigh: 28, Sexes: []unit.Sex{m}}), m, 20, 28, func(p Traits) float64 { return p.VO2Tau })
	band{"O03", "mean time constant of VO2, men 20–28, s", 22, 42, "Murias 2010"}.check(t, mean(tau))
	large := pick(all, m, 20, 79, func(p Traits) float64 {
		if p.Arm >= 34.5 && p.Arm < 44.5 {
			return 100
		}
		return 0
	})
	band{"–", "men who need the large cuff, %", 35, 51, "Ostchega 2013: 42.9, band ± 8 stated"}.check(t, mean(large))
}

func TestResponsesAgainstPublishedStudies(t *testing.T) {
	var slope, intercept, r, sbpM, sbpF, tauGap, rmssd []float64
	for seed := range uint64(400) {
		p, b := somebody(seed, Who{AgeLow: 18, AgeHigh: 79})
		sit(b, 240)
		rest := b.Now()
		var v, h, w, sys []float64
		note := func() {
			s := b.Now()
			v = append(v, float64(s.VO2-p.VO2Rest)/float64(p.VO2Max-p.VO2Rest))
			h = append(h, float64(s.HR-p.RestHR)/float64(p.TrueMaxHR-p.RestHR))
			w, sys = append(w, s.WorkRate.Watts()), append(sys, float64(s.SBP))
		}
		v, h, w, sys = append(v, 0), append(h, float64(rest.HR-p.RestHR)/float64(p.TrueMaxHR-p.RestHR)), append(w, 0), append(sys, float64(rest.SBP))
		for _, kp := range []unit.Resistance{0.5, 1, 1.5, 2, 2.5, 3} {
			ride(b, 180, kp, nil)
			if b.Now().Demand > 0.9 {
				break
			}
			note()
		}
		if len(v) < 4 {
			continue
		}
		v, h = append(v, 1), append(h, 1) // the maximum, where both reserves are used up
		a, s := stat.LinearRegression(v, h, nil, false)
		slope, intercept, r = append(slope, s), append(intercept, 100*a), append(r, stat.Correlation(v, h, nil))
		_, up := stat.LinearRegression(w, sys, nil, false)
		if p.Sex == unit.Male {
			sbpM = append(sbpM, up)
		} else {
			sbpF = append(sbpF, up)
		}
	}
	mean := func(x []float64) float64 { return stat.Mean(x, nil) }
	band{"C01", "intercept of %HRR on %VO2R, %", -3.5, 4, "Swain and Leutholtz 1997"}.check(t, mean(intercept))
	band{"C02", "slope of %HRR on %VO2R", 0.95, 1.05, "Swain and Leutholtz 1997"}.check(t, mean(slope))
	band{"C03", "SD of that intercept, %", 3, 6.5, "Swain and Leutholtz 1997"}.check(t, stat.StdDev(intercept, nil))
	band{"C04", "mean individual r", 0.985, 0.998, "Swain 1998"}.check(t, mean(r))
	band{"B01", "systolic on watts, men, mmHg/W", 0.33, 0.49, "Hedman 2020"}.check(t, mean(sbpM))
	band{"B02", "SD of it, men", 0.1, 0.2, "Hedman 2020"}.check(t, stat.StdDev(sbpM, nil))
	band{"B03", "systolic on watts, women, mmHg/W", 0.42, 0.62, "Hedman 2020"}.check(t, mean(sbpF))

	for seed := range uint64(200) {
		_, b := somebody(seed, Who{AgeLow: 25, AgeHigh: 45})
		sit(b, 180)
		var last, lastRR, sum, n float64
		for range 300 {
			for _, x := range b.Step(Setting{Posture: Chair}) {
				at := x.At.Seconds() * 1000
				rr := at - last
				if lastRR > 0 && last > 0 {
					sum, n = sum+(rr-lastRR)*(rr-lastRR), n+1
				}
				if last > 0 {
					lastRR = rr
				}
				last = at
			}
		}
		rmssd = append(rmssd, math.Sqrt(sum/n))

		_, c := somebody(seed, Who{AgeLow: 18, AgeHigh: 79})
		ride(c, 300, 0.5, nil)
		ride(c, 105, 1.5, nil)
		var two, three float64
		ride(c, 15, 1.5, func() { two += float64(c.Now().HR) / 15 })
		ride(c, 45, 1.5, nil)
		ride(c, 15, 1.5, func() { three += float64(c.Now().HR) / 15 })
		if c.Now().Demand < 0.95 {
			tauGap = append(tauGap, three-two)
		}
	}
	band{"X05", "RMSSD at rest, 25–45 y, ms", 27, 57, "Nunan 2010, from memory"}.check(t, mean(rmssd))
	band{"C09", "rise from minute 2 to 3 of the second stage, bpm", 1.2, 4, "derived"}.check(t, mean(tauGap))
}

// Recovery after stopping near the maximum, passive, by thirds of fitness. Source: Sci Rep 2021, table 2.
func TestRecoveryByFitness(t *testing.T) {
	fall := func(low, high float64) float64 {
		var all []float64
		for seed := range uint64(300) {
			p, b := somebody(seed, Who{AgeLow: 18, AgeHigh: 45, FitnessZ: &[2]float64{low, high}})
			for kp := unit.Resistance(0.5); kp <= 7 && float64(b.Now().HR-p.RestHR) < 0.93*float64(p.TrueMaxHR-p.RestHR); kp += 0.5 {
				ride(b, 90, kp, nil)
			}
			at := b.Now().HR
			if float64(at-p.RestHR) < 0.88*float64(p.TrueMaxHR-p.RestHR) {
				continue
			}
			for range 60 {
				b.Step(Setting{Posture: OnCycle})
			}
			all = append(all, float64(at-b.Now().HR))
		}
		if len(all) < 100 {
			t.Fatalf("only %d people came near their maximum", len(all))
		}
		return stat.Mean(all, nil)
	}
	band{"X01", "fall in the first minute, lowest third, bpm", 13, 24, "Sci Rep 2021"}.check(t, fall(-2.6, -0.43))
	band{"X03", "fall in the first minute, highest third, bpm", 27, 39, "Sci Rep 2021"}.check(t, fall(0.43, 2.6))
}
