package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Wilson is the 95 % score interval of x out of n, n at least 1. Source: [NEWCOMBE1998].
func Wilson(x, n int) [2]float64 {
	z := distuv.UnitNormal.Quantile(0.975)
	p, m := float64(x)/float64(n), float64(n)
	scale := 1 + z*z/m
	centre := (p + z*z/(2*m)) / scale
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m)) / scale
	return [2]float64{max(0, centre-half), min(1, centre+half)}
}
