package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Detection counts stop-or-go-on decisions: of the moments at which a stop was due and could be known, how often it came; of the others,
// how often the test was stopped for nothing. Pool the counts of a term; never average indices of single tests.
type Detection struct {
	Hits, Signals    int
	FalseStops, Rest int
}

// LeastSignals is the number of signals below which only the counts are shown. Source: [CHOICE-DETECTION].
const LeastSignals = 8

// An Index is what the counts say under the equal-variance model: how well signals are told from the rest, and whether the student leans.
type Index struct {
	HitRate, FalseRate float64
	DPrime             float64 // distance of the two, in SDs
	Criterion          float64 // above 0: slow to stop; below 0: quick to stop
	Beta               float64
	SE                 float64 // of DPrime
}

// Index works the index from the counts, with one half added to every cell, always, so that a rate of 0 or 1 has one and no student is
// corrected alone. Source: [HAUTUS1995].
func (d Detection) Index() Index {
	half := func(x, n int) float64 { return (float64(x) + 0.5) / (float64(n) + 1) }
	return index(half(d.Hits, d.Signals), half(d.FalseStops, d.Rest), float64(d.Signals)+1, float64(d.Rest)+1)
}

// index is the model on rates strictly between 0 and 1. Source: [STANISLAW1999] indices; [GOUREVITCH1967] the standard error.
func index(h, f, signals, rest float64) Index {
	z := distuv.UnitNormal
	zh, zf := z.Quantile(h), z.Quantile(f)
	i := Index{HitRate: h, FalseRate: f, DPrime: zh - zf, Criterion: -(zh + zf) / 2}
	i.Beta = math.Exp(i.Criterion * i.DPrime)
	i.SE = math.Sqrt(h*(1-h)/(signals*z.Prob(zh)*z.Prob(zh)) + f*(1-f)/(rest*z.Prob(zf)*z.Prob(zf)))
	return i
}
