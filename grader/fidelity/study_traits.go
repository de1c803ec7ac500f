package fidelity

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"kilopond/scenarios"
)

// Columns of the study of traits.
const (
	cFemale = iota
	cAge
	cHeight
	cMass
	cRestHR
	cSBP
	cDBP
	cMaxHR
	cVO2
	cOff    // of maximum heart rate from 208 − 0.7 age
	cBeyond // 100 when it is more than 10 bpm from 220 − age
	cBMI
)

func traitsOf(seed scenarios.Seed) record {
	t := general(18, 79).Draw(seed).Traits
	age, most := float64(t.Age), float64(t.TrueMaxHR)
	beyond := 0.0
	if math.Abs(most-(220-age)) > 10 {
		beyond = 100
	}
	return record{female(t), age, float64(t.Height), float64(t.Mass), float64(t.RestHR), float64(t.RestSBP), float64(t.RestDBP), most,
		float64(t.VO2Max.Per(t.Mass)), most - (208 - 0.7*age), beyond,
		float64(t.Mass) / math.Pow(float64(t.Height)/100, 2)}
}

func men(low, high float64) func(record) bool {
	return func(r record) bool { return r[cFemale] == 0 && r[cAge] >= low && r[cAge] <= high }
}

func women(low, high float64) func(record) bool {
	return func(r record) bool { return r[cFemale] == 1 && r[cAge] >= low && r[cAge] <= high }
}

func both(low, high float64) func(record) bool {
	return func(r record) bool { return r[cAge] >= low && r[cAge] <= high }
}

func traitMeasures() []measure {
	m := func(id string, value func([]record) float64) measure { return measure{id, "traits", value} }
	return []measure{
		m("A01", mean(cHeight, men(20, 79))),
		m("A02", mean(cHeight, women(20, 79))),
		m("A04", mean(cMass, men(40, 49))),
		m("A08", mean(cMass, women(40, 49))),
		m("A07", correlation(cHeight, cMass, men(20, 79))),
		m("R01", mean(cRestHR, men(20, 79))),
		m("R02", mean(cRestHR, women(20, 79))),
		m("R03", sd(cRestHR, men(20, 79))),
		m("R05", mean(cSBP, men(20, 29))),
		m("R08", sd(cSBP, men(40, 49))),
		m("R10", correlation(cSBP, cDBP, men(20, 79))),
		m("R13", mean(cDBP, men(70, 79))),
		m("R14", mean(cSBP, women(70, 79))),
		m("R15", correlation(cBMI, cSBP, women(20, 79))),
		m("V01", median(cVO2, men(20, 29))),
		m("V02", median(cVO2, women(20, 29))),
		m("V03", median(cVO2, men(40, 49))),
		m("V04", median(cVO2, women(40, 49))),
		m("V05", median(cVO2, men(50, 59))),
		m("V06", median(cVO2, women(50, 59))),
		m("V07", median(cVO2, men(70, 79))),
		m("V08", median(cVO2, women(70, 79))),
		m("V09", func(all []record) float64 {
			x := column(all, cVO2, men(20, 29))
			return 100 * sdOf(x) / meanOf(x)
		}),
		m("V10", func(all []record) float64 {
			x := column(all, cVO2, men(40, 49))
			return (quantileOf(0.9, x) - quantileOf(0.5, x)) / (quantileOf(0.5, x) - quantileOf(0.1, x))
		}),
		m("V11", func(all []record) float64 { return aboutPlane(all, cVO2, both(20, 79), cAge, cFemale, cMass, cHeight) }),
		m("V12", func(all []record) float64 { return withinAge(all, cRestHR, cVO2, men(29, 65)) }),
		m("H01", sd(cOff, nil)),
		m("H02", slope(cAge, cMaxHR, nil)),
		m("H05", correlation(cAge, cMaxHR, nil)),
		m("H04", mean(cBeyond, nil)),
		m("V13", func(all []record) float64 {
			return math.Pow(medianOf(column(all, cVO2, men(70, 79)))/medianOf(column(all, cVO2, men(20, 29))), 1/5.0)*100 - 100
		}),
		m("V14", func(all []record) float64 {
			return medianOf(column(all, cVO2, women(20, 79))) / medianOf(column(all, cVO2, men(20, 79)))
		}),
	}
}

// aboutPlane is the SD of a column about its least-squares plane on others.
func aboutPlane(all []record, y int, keep func(record) bool, on ...int) float64 {
	var rows []record
	for _, r := range all {
		if keep(r) {
			rows = append(rows, r)
		}
	}
	n, k := len(rows), len(on)+1
	if n <= k {
		return nan
	}
	a, b := mat.NewDense(n, k, nil), mat.NewVecDense(n, nil)
	for i, r := range rows {
		a.Set(i, 0, 1)
		for j, c := range on {
			a.Set(i, j+1, r[c])
		}
		b.SetVec(i, r[y])
	}
	var beta, fit mat.VecDense
	if err := beta.SolveVec(a, b); err != nil {
		return nan
	}
	fit.MulVec(a, &beta)
	fit.SubVec(b, &fit)
	return math.Sqrt(mat.Dot(&fit, &fit) / float64(n-k))
}

// withinAge is the slope of y on x when both are freed of age.
func withinAge(all []record, x, y int, keep func(record) bool) float64 {
	free := func(c int) []float64 {
		age, v := pair(all, cAge, c, keep)
		if len(age) < 3 {
			return nil
		}
		a, b := stat.LinearRegression(age, v, nil, false)
		for i := range v {
			v[i] -= a + b*age[i]
		}
		return v
	}
	u, v := free(x), free(y)
	if u == nil {
		return nan
	}
	_, s := stat.LinearRegression(u, v, nil, false)
	return s
}
