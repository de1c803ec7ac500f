package stats

import "math"

// mean is the arithmetic mean; the slice must not be empty.
func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// squares is the sum of squared distances from the mean.
func squares(x []float64) float64 {
	m := mean(x)
	var sum float64
	for _, v := range x {
		sum += float64((v - m) * (v - m))
	}
	return sum
}

// sd is the standard deviation with divisor n − 1; there must be two values at least.
func sd(x []float64) float64 { return math.Sqrt(squares(x) / float64(len(x)-1)) }

// Correlation is Pearson's r; ok is false when there are fewer than two pairs or one side has no spread. The slices are of one length.
func Correlation(x, y []float64) (r float64, ok bool) {
	if len(x) < 2 || len(x) != len(y) {
		return 0, false
	}
	mx, my := mean(x), mean(y)
	var xy float64
	for i := range x {
		xy += float64((x[i] - mx) * (y[i] - my))
	}
	xx, yy := squares(x), squares(y)
	if !spreads(xx, mx) || !spreads(yy, my) {
		return 0, false
	}
	return min(max(xy/math.Sqrt(xx)/math.Sqrt(yy), -1), 1), true
}

// spreads says whether a sum of squares about a mean is more than the rounding of equal values.
func spreads(sum, about float64) bool { return sum > 1e-24*(1+about*about) }
