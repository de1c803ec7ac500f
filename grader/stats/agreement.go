package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// An Agreement is how far paired readings of the same thing differ, first minus second, in the readings' own unit. A nil field is not
// defined for these pairs: one pair has no spread, and equal readings have no correlation.
type Agreement struct {
	N             int         `json:"n"`
	Bias          float64     `json:"bias"`
	SD            *float64    `json:"sd_diff"` // divisor n − 1
	LoALow        *float64    `json:"loa_low"` // limits of agreement, bias ± 1.96 SD
	LoAHigh       *float64    `json:"loa_high"`
	BiasCI        *[2]float64 `json:"bias_ci"` // 95 %, t with n − 1
	LoALowCI      *[2]float64 `json:"loa_low_ci"`
	LoAHighCI     *[2]float64 `json:"loa_high_ci"`
	TypicalError  *float64    `json:"typical_error"`                // SD/√2: of one reading
	Repeatability *float64    `json:"coefficient_of_repeatability"` // 1.96 SD: two readings differ by less, 19 times in 20
	R             *float64    `json:"r"`                            // high in spite of poor agreement: that is the lesson
	ICC21         *float64    `json:"icc_2_1"`                      // absolute agreement of single readings
	ICC31         *float64    `json:"icc_3_1"`                      // consistency of single readings
}

// normal95 is the two-sided 95 % point of the normal distribution, as printed.
const normal95 = 1.96

// Agree compares pairs. The slices are of one length, at least 1.
//
// The standard error of a limit is √3·SD/√n. Source: [BLAND1986] limits and their errors; [HOPKINS2000] typical error; [SHROUT1979] the two
// coefficients.
func Agree(first, second []float64) Agreement {
	d := make([]float64, len(first))
	for i := range first {
		d[i] = first[i] - second[i]
	}
	a := Agreement{N: len(d), Bias: mean(d)}
	if r, ok := Correlation(first, second); ok {
		a.R = &r
	}
	if a.N < 2 {
		return a
	}
	n := float64(a.N)
	s := sd(d)
	low, high := a.Bias-normal95*s, a.Bias+normal95*s
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.975)
	around := func(x, se float64) *[2]float64 { return &[2]float64{x - float64(t*se), x + float64(t*se)} }
	se := s / math.Sqrt(n)
	typical, repeatability := s/math.Sqrt2, normal95*s
	a.SD, a.LoALow, a.LoAHigh = &s, &low, &high
	a.BiasCI, a.LoALowCI, a.LoAHighCI = around(a.Bias, se), around(low, math.Sqrt(3)*se), around(high, math.Sqrt(3)*se)
	a.TypicalError, a.Repeatability = &typical, &repeatability
	rows := make([][]float64, a.N)
	for i := range rows {
		rows[i] = []float64{first[i], second[i]}
	}
	if v, ok := TwoWay(rows); ok {
		if icc, ok := v.ICC21(); ok {
			a.ICC21 = &icc
		}
		if icc, ok := v.ICC31(); ok {
			a.ICC31 = &icc
		}
	}
	return a
}

// MeanAbsolute is the mean absolute difference; RootMeanSquare its quadratic sister: RMS² = bias² + (n−1)/n·SD².
func MeanAbsolute(d []float64) float64 {
	var sum float64
	for _, v := range d {
		sum += math.Abs(v)
	}
	return sum / float64(len(d))
}

// RootMeanSquare is the square root of the mean squared difference.
func RootMeanSquare(d []float64) float64 {
	var sum float64
	for _, v := range d {
		sum += float64(v * v)
	}
	return math.Sqrt(sum / float64(len(d)))
}
