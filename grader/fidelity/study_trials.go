package fidelity

import (
	"kilopond/grader"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// trialOf is a whole test with continuous heart rate: the worked estimate, the same line read at the true maximum, the true value.
func trialOf(p scenarios.Person) record {
	book := grader.Default()
	a := grader.NewTrial(book, grader.Monitor).Run(p, 1).Answer
	if !a.Estimable || a.Slope == 0 {
		return nil
	}
	t := p.Traits
	known := unit.WorkRate((float64(t.TrueMaxHR) - a.Intercept) / a.Slope)
	return record{float64(a.VO2Rel), float64(book.O2Cost.VO2(known, t.Mass).Per(t.Mass)), float64(t.VO2Max.Per(t.Mass))}
}

func trialsTo60(seed scenarios.Seed) record { return trialOf(general(18, 60).Draw(seed)) }
func trialsTo79(seed scenarios.Seed) record { return trialOf(general(18, 79).Draw(seed)) }

// errors are (estimate − true)/true in percent, of an estimate's column.
func errorsOf(all []record, c int) (percent []float64) {
	for _, r := range all {
		percent = append(percent, 100*(r[c]-r[2])/r[2])
	}
	return percent
}

func trialMeasures() []measure {
	return []measure{
		{"T01", "trials 18-60", func(all []record) float64 { return sdOf(errorsOf(all, 0)) }},
		{"T02", "trials 18-60", func(all []record) float64 { return meanOf(errorsOf(all, 0)) }},
		{"T03", "trials 18-79", correlation(0, 2, nil)},
		{"T04", "trials 18-79", func(all []record) float64 {
			a, b := sdOf(errorsOf(all, 0)), sdOf(errorsOf(all, 1))
			return 100 * (1 - b*b/(a*a))
		}},
	}
}
