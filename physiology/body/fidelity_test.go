package body

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"kilopond/physiology/unit"
)

func quantile(p float64, x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	return stat.Quantile(p, stat.LinInterp, s, nil)
}

// residualSD is the SD of y about its least-squares plane on the columns.
func residualSD(y []float64, columns ...[]float64) float64 {
	rows, cols := len(y), len(columns)+1
	a := mat.NewDense(rows, cols, nil)
	for i := range rows {
		a.Set(i, 0, 1)
		for j, c := range columns {
			a.Set(i, j+1, c[i])
		}
	}
	var beta mat.VecDense
	if err := beta.SolveVec(a, mat.NewVecDense(rows, y)); err != nil {
		panic(err)
	}
	var fit mat.VecDense
	fit.MulVec(a, &beta)
	sum := 0.0
	for i := range rows {
		d := y[i] - fit.AtVec(i)
		sum += d * d
	}
	return math.Sqrt(sum / float64(rows-cols))
}

func TestFitnessAgainstPublishedPopulations(t *testing.T) {
	all := people(20000, Who{AgeLow: 18, AgeHigh: 79})
	rel := func(p Traits) float64 { return float64(p.VO2Max.Per(p.Mass)) }
	band{"V06", "median VO2max, women 50–59", 21.5, 28, "Rapp 2018"}.check(t, median(pick(all, unit.Female, 50, 59, rel)))
	middle := pick(all, unit.Male, 40, 49, rel)
	p10, p50, p90 := quantile(0.1, middle), quantile(0.5, middle), quantile(0.9, middle)
	band{"V10", "spread (P90 − P50)/(P50 − P10) of VO2max, men 40–49", 1.05, 1.5, "Kaminsky 2015, from memory"}.check(t, (p90-p50)/(p50-p10))

	age := func(p Traits) float64 { return float64(p.Age) }
	every := func(f func(Traits) float64) []float64 { return pick(all, "", 20, 79, f) }
	sex := every(func(p Traits) float64 {
		if p.Sex == unit.Female {
			return 1
		}
		return 0
	})
	mass := every(func(p Traits) float64 { return float64(p.Mass) })
	height := every(func(p Traits) float64 { return float64(p.Height) })
	band{"V11", "SD of VO2max about age, sex, mass, height", 4.5, 7.5, "de Souza e Silva 2018"}.check(t, residualSD(every(rel), every(age), sex, mass, height))

	// The slope on resting rate within age: both are freed of age first.
	men := func(f func(Traits) float64) []float64 { return pick(all, unit.Male, 29, 65, f) }
	free := func(y []float64) []float64 {
		a, b := stat.LinearRegression(men(age), y, nil, false)
		out := make([]float64, len(y))
		for i, x := range men(age) {
			out[i] = y[i] - a - b*x
		}
		return out
	}
	_, slope := stat.LinearRegression(free(men(func(p Traits) float64 { return float64(p.RestHR) })), free(men(rel)), nil, false)
	band{"V12", "VO2max on resting rate within age, men 29–65, mL/kg/min per bpm", -0.36, -0.15, "Gonzales 2023"}.check(t, slope)

	_, slope = stat.LinearRegression(every(age), every(func(p Traits) float64 { return float64(p.TrueMaxHR) }), nil, false)
	band{"H02", "slope of HRmax on age, bpm/yr", -0.78, -0.62, "Tanaka 2001; Jones 1985; Nes 2013"}.check(t, slope)
}

// stages rides 0.5 kp more every so many seconds, while the work stays below the given demand, and returns watts and the mean rate of the last 15 s.
func stages(b *Body, seconds int, most float64) (watts, bpm []float64) {
	for kp := unit.Resistance(0.5); kp <= 7; kp += 0.5 {
		ride(b, seconds-15, kp, nil)
		if b.Now().Demand > most {
			break
		}
		hr, w := 0.0, 0.0
		ride(b, 15, kp, func() {
			hr += float64(b.Now().HR) / 15
			w += b.Now().WorkRate.Watts() / 15
		})
		watts, bpm = append(watts, w), append(bpm, hr)
	}
	return watts, bpm
}

// at returns the watts at a rate, between two stages or beyond the last two.
func at(rate float64, watts, bpm []float64) float64 {
	i := 1
	for i < len(bpm)-1 && bpm[i] < rate {
		i++
	}
	return watts[i-1] + (rate-bpm[i-1])*(watts[i]-watts[i-1])/(bpm[i]-bpm[i-1])
}

func TestRateOnWorkAgainstPublishedStudies(t *testing.T) {
	perKg := func(sex unit.Sex, rate float64) float64 {
		var all []float64
		for seed := range uint64(500) {
			p, b := somebody(seed, Who{AgeLow: 18, AgeHigh: 64, Sexes: []unit.Sex{sex}, Volunteer: true})
			w, hr := stages(b, 180, 0.95)
			if len(w) >= 2 {
				all = append(all, at(rate, w, hr)/float64(p.Mass))
			}
		}
		return median(all)
	}
	band{"C05", "median W/kg at 150 bpm, men 18–64", 1.55, 2, "DEGS1"}.check(t, perKg(unit.Male, 150))
	band{"C06", "median W/kg at 130 bpm, women 18–64", 0.88, 1.2, "DEGS1"}.check(t, perKg(unit.Female, 130))

	var gain, gap []float64
	for seed := range uint64(500) {
		p, b := somebody(seed, adults)
		w, hr := stages(b, 240, 0.9)
		if len(w) >= 4 {
			_, s := stat.LinearRegression(w[:4], hr[:4], nil, false)
			gain = append(gain, s)
		}
		other := New(p, DrawDay(stream(seed, "another day"), nil), nil, stream(seed, "ill"), stream(seed, "other noise"))
		_, again := stages(other, 240, 0.9)
		if len(hr) >= 2 && len(again) >= 2 {
			gap = append(gap, (hr[1]-again[1])/math.Sqrt2)
		}
	}
	band{"C07", "rise of rate per watt, 25 to 100 W", 0.4, 0.65, "Mongin, doremi data"}.check(t, stat.Mean(gain, nil))
	band{"C11", "typical error of rate at one load on two days, bpm", 2, 6.7, "Med Sci Sports 1972; Sykes 1976"}.check(t, stat.StdDev(gap, nil))
}

// loadFor returns the resistance at 50 rpm that asks for the oxygen uptake before any slow component.
func loadFor(p Traits, vo2 float64) unit.Resistance {
	watts := (vo2 - float64(p.VO2Rest) - float64(p.UnloadedCost)) / p.O2Cost
	return (unit.WorkRate(watts) * unit.Watt).Resistance(50)
}

// tauOf fits one exponential to the rise after a step, from its first value on, by least squares.
func tauOf(y []float64) float64 {
	best, least := 0.0, math.Inf(1)
	for tau := 10.0; tau <= 200; tau++ {
		var uy, uu float64
		for i := range y {
			u := 1 - math.Exp(-float64(i)/tau)
			uy, uu = uy+u*(y[i]-y[0]), uu+u*u
		}
		gain, sum := uy/uu, 0.0
		for i := range y {
			d := y[i] - y[0] - gain*(1-math.Exp(-float64(i)/tau))
			sum += d * d
		}
		if sum < least {
			best, least = tau, sum
		}
	}
	return best
}

func TestKineticsAgainstPublishedStudies(t *testing.T) {
	men := func(low, high int) Who { return Who{AgeLow: low, AgeHigh: high, Sexes: []unit.Sex{unit.Male}} }
	var tau, long, drift, early []float64
	for seed := range uint64(300) {
		p, b := somebody(seed, men(20, 45))
		between := func(x float64) float64 { return float64(p.VO2Rest) + x*float64(p.VO2Max-p.VO2Rest) }
		ride(b, 300, loadFor(p, between(0.45)), nil)
		var y []float64
		ride(b, 300, loadFor(p, between(0.62)), func() { y = append(y, float64(b.Now().HR)) })
		tau, long = append(tau, tauOf(y[:180])), append(long, tauOf(y))

		p, b = somebody(seed, men(35, 35))
		var minute, hr []float64
		second := 0
		ride(b, 540, loadFor(p, 0.64*float64(p.VO2Max)), func() {
			if second++; second > 300 {
				minute, hr = append(minute, float64(second)/60), append(hr, float64(b.Now().HR))
			}
		})
		_, slope := stat.LinearRegression(minute, hr, nil, false)
		drift = append(drift, slope)

		active := true
		p, b = somebody(seed, Who{AgeLow: 18, AgeHigh: 34, Active: &active})
		for kp := unit.Resistance(0.5); kp <= 7 && b.Now().HR < 0.8*p.TrueMaxHR; kp += 0.25 {
			ride(b, 60, kp, nil)
		}
		if b.Now().HR < 0.78*p.TrueMaxHR {
			continue
		}
		stop, mean := b.Now().HR, 0.0
		for range 15 {
			b.Step(Setting{Posture: OnCycle})
			mean += float64(b.Now().HR) / 15
		}
		early = append(early, float64(stop)-mean)
	}
	if len(early) < 200 {
		t.Fatalf("only %d people came to 80 %% of their maximum", len(early))
	}
	// One exponential over a stage's three minutes; one source's steps lasted two. Over five, slow component and drift pass for slowness.
	t.Logf("time constant over five minutes of the step: %.1f s", stat.Mean(long, nil))
	band{"C08", "time constant of rate over three minutes about RPE 13, men 20–45, s", 45, 75, "Hunt 2019; doremi data"}.check(t, stat.Mean(tau, nil))
	band{"C10", "drift of rate in minutes 5–9 at 64 % of VO2max, men of 35, bpm/min", 0.4, 1.6, "Teso 2025"}.check(t, stat.Mean(drift, nil))
	band{"X04", "mean of the first 15 s after stopping, below exercise rate, bpm", 3, 10, "DeVan 2005"}.check(t, stat.Mean(early, nil))
}

func TestPressureAtPeakAgainstPublishedStudies(t *testing.T) {
	peak := func(sex unit.Sex) (systolic, change []float64) {
		for seed := range uint64(400) {
			_, b := somebody(seed, Who{AgeLow: 18, AgeHigh: 79, Sexes: []unit.Sex{sex}})
			sit(b, 300)
			rest := b.Now()
			top := rest
			for kp := unit.Resistance(0.25); kp <= 7 && b.Now().Demand < 1; kp += 0.25 {
				ride(b, 60, kp, nil)
				if b.Now().SBP > top.SBP {
					top = b.Now()
				}
			}
			systolic, change = append(systolic, float64(top.SBP)), append(change, float64(top.DBP-rest.DBP))
		}
		return systolic, change
	}
	m, dm := peak(unit.Male)
	f, df := peak(unit.Female)
	t.Logf("SD of the peaks %.0f and %.0f mmHg (Hedman 2020: 22 and 24)", stat.StdDev(m, nil), stat.StdDev(f, nil))
	band{"B04", "mean peak systolic, men", 190, 215, "Hedman 2020"}.check(t, stat.Mean(m, nil))
	band{"B05", "mean peak systolic, women", 176, 200, "Hedman 2020"}.check(t, stat.Mean(f, nil))
	band{"B06", "median diastolic change from rest to peak", -12, 5, "Sydó 2018"}.check(t, median(append(dm, df...)))
}

func TestExertionAgainstPublishedStudies(t *testing.T) {
	var rate, said, threshold []float64
	for seed := range uint64(400) {
		p, b := somebody(seed, adults)
		for kp := unit.Resistance(0.5); kp <= 7; kp += 0.5 {
			ride(b, 180, kp, nil)
			if b.Now().Demand > 0.95 {
				break
			}
			rate, said = append(rate, float64(b.Now().HR)), append(said, float64(b.Exertion()))
		}
		_, b = somebody(seed, adults)
		if kp := loadFor(p, p.Threshold*float64(p.VO2Max)); kp > 0 {
			ride(b, 240, kp, nil)
			threshold = append(threshold, float64(b.Exertion()))
		}
	}
	band{"P01", "r of exertion with rate over all stages", 0.55, 0.82, "Scherr 2013"}.check(t, stat.Correlation(rate, said, nil))
	band{"P02", "mean exertion at the gas-exchange threshold", 10, 13.2, "Scherr 2013"}.check(t, stat.Mean(threshold, nil))
}
