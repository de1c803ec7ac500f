package unit

import "math"

// Round rounds half away from zero to the given number of decimals, the way results are printed.
func Round(x float64, decimals int) float64 {
	scale := 1.0
	for range decimals {
		scale *= 10
	}
	return math.Round(x*scale) / scale
}
