package stats

import (
	"math"
	"slices"
)

// Quantile is the value below which a share p of the values lies, by straight lines between ordered values; x must not be empty.
// Source: [HYNDMAN1996], type 7.
func Quantile(x []float64, p float64) float64 {
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	at := p * float64(len(sorted)-1)
	low := int(math.Floor(at))
	high := min(low+1, len(sorted)-1)
	return sorted[low] + (at-float64(low))*(sorted[high]-sorted[low])
}

// SD is the standard deviation with divisor n, which goes with item statistics; x must not be empty.
func SD(x []float64) float64 { return math.Sqrt(squares(x) / float64(len(x))) }

// Mean is the arithmetic mean; x must not be empty.
func Mean(x []float64) float64 { return mean(x) }

// Discriminates is how a corrected discrimination is read. Source: [EBEL1965].
func Discriminates(r float64) string {
	switch {
	case r >= 0.40:
		return "good"
	case r >= 0.30:
		return "fair"
	case r >= 0.20:
		return "marginal"
	}
	return "poor"
}
