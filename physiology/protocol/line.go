package protocol

import (
	"errors"
	"math"

	"kilopond/physiology/unit"
)

// How the line is drawn through the points. Source: [CSEP2009] last two; least squares of heart rate on work rate [PRACTICE-OLS];
// of work rate on heart rate [PRACTICE-OLS], which gives another answer.
const (
	FitTwoLast     Fit = "two_last"
	FitOLS         Fit = "ols"
	FitOLSWorkOnHR Fit = "ols_work_on_hr"
)

// Fits lists the fits in the order of the page.
func Fits() []Fit { return []Fit{FitTwoLast, FitOLS, FitOLSWorkOnHR} }

// A Line is y = Intercept + Slope·x with its residual SD (divisor n − 2; 0 for two points) and R².
type Line struct {
	Slope, Intercept float64
	ResidualSD, R2   float64
}

var errFlat = errors.New("all x are equal: no line")

// LeastSquares fits y on x. It needs two points with different x. Means are taken first and residuals about them, so that
// the certified figures of [NORRIS] are met.
func LeastSquares(x, y []float64) (Line, error) {
	if len(x) != len(y) || len(x) < 2 {
		return Line{}, errors.New("a line needs two points or more, each with x and y")
	}
	mx, my := mean(x), mean(y)
	var sxx, sxy, syy float64
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		sxx += float64(dx * dx)
		sxy += float64(dx * dy)
		syy += float64(dy * dy)
	}
	if sxx == 0 {
		return Line{}, errFlat
	}
	l := Line{Slope: sxy / sxx}
	l.Intercept = my - float64(l.Slope*mx)
	var rest float64
	for i := range x {
		e := (y[i] - my) - float64(l.Slope*(x[i]-mx))
		rest += float64(e * e)
	}
	if len(x) > 2 {
		l.ResidualSD = math.Sqrt(rest / float64(len(x)-2))
	}
	if syy > 0 {
		l.R2 = 1 - rest/syy
	}
	return l, nil
}

// ThroughOrigin fits y = Slope·x. Source: [NOINT1].
func ThroughOrigin(x, y []float64) (slope float64, err error) {
	if len(x) != len(y) {
		return 0, errors.New("as many y as x")
	}
	var sxx, sxy float64
	for i := range x {
		sxx += float64(x[i] * x[i])
		sxy += float64(x[i] * y[i])
	}
	if sxx == 0 {
		return 0, errFlat
	}
	return sxy / sxx, nil
}

// mean is exact to a last place or two: a first mean, then the mean of what is left.
func mean(x []float64) float64 {
	var s float64
	for _, v := range x {
		s += v
	}
	m := s / float64(len(x))
	s = 0
	for _, v := range x {
		s += v - m
	}
	return m + s/float64(len(x))
}

// fitted returns heart rate on work rate as the fit draws it: slope in bpm for each kg·m/min.
func fitted(f Fit, work, hr []float64) (Line, error) {
	n := len(work)
	switch {
	case f == FitOLSWorkOnHR:
		l, err := LeastSquares(hr, work)
		if err != nil || l.Slope == 0 {
			return Line{}, errFlat
		}
		return Line{Slope: 1 / l.Slope, Intercept: -l.Intercept / l.Slope}, nil
	case f == FitTwoLast && n > 2:
		return LeastSquares(work[n-2:], hr[n-2:])
	}
	return LeastSquares(work, hr)
}

// WorkRateAt returns the work rate at which the line through the points reaches the heart rate. The error says why there is none.
func WorkRateAt(f Fit, work []unit.WorkRate, hr []unit.HR, at unit.HR) (unit.WorkRate, error) {
	x, y := make([]float64, len(work)), make([]float64, len(hr))
	for i := range work {
		x[i], y[i] = float64(work[i]), float64(hr[i])
	}
	l, err := fitted(f, x, y)
	if err != nil {
		return 0, err
	}
	if !(l.Slope > 0) {
		return 0, errors.New("the line does not rise")
	}
	return unit.WorkRate((float64(at) - l.Intercept) / l.Slope), nil
}
