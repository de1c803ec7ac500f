package grader

import (
	"math"

	"kilopond/grader/stats"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// An AgeBand is a decade of age with what comes of the tests of its people.
type AgeBand struct {
	FromY     int      `json:"from_age_y"`
	ToY       int      `json:"to_age_y"`
	Tests     int      `json:"tests"`      // begun
	NotTested int      `json:"not_tested"` // sent home by their resting values
	Estimable int      `json:"estimable"`
	Percent   *float64 `json:"estimable_percent"` // of the tests begun; nil when there was none
	CILow     *float64 `json:"ci_low"`            // of that, 95 %
	CIHigh    *float64 `json:"ci_high"`
	Bias      *float64 `json:"bias_percent"` // mean of estimate minus truth, in per cent of the truth; nil below two estimates
	SD        *float64 `json:"sd_percent"`   // divisor n − 1
}

// AgeBands sorts tests by decade of age, the first from eighteen.
type AgeBands struct {
	bands [8]struct {
		AgeBand
		sum, square float64
	}
}

// Add takes one test in.
func (a *AgeBands) Add(p scenarios.Person, r TrialResult) {
	b := &a.bands[int(p.Traits.Age)/10]
	if r.StopReason == StopNotTested {
		b.NotTested++
		return
	}
	b.Tests++
	if !r.Answer.Estimable {
		return
	}
	b.Estimable++
	truth := float64(p.Traits.VO2Max.Per(p.Traits.Mass))
	off := 100 * (float64(r.Answer.VO2Rel) - truth) / truth
	b.sum, b.square = b.sum+off, b.square+off*off
}

// Merge takes in what another has sorted.
func (a *AgeBands) Merge(other *AgeBands) {
	for i := range a.bands {
		b, o := &a.bands[i], &other.bands[i]
		b.Tests, b.NotTested, b.Estimable = b.Tests+o.Tests, b.NotTested+o.NotTested, b.Estimable+o.Estimable
		b.sum, b.square = b.sum+o.sum, b.square+o.square
	}
}

// List is the decades that anybody was of, youngest first.
func (a *AgeBands) List() []AgeBand {
	list := []AgeBand{}
	for i, b := range a.bands {
		if b.Tests+b.NotTested == 0 {
			continue
		}
		band := b.AgeBand
		band.FromY, band.ToY = max(10*i, scenarios.YoungestY), 10*i+9
		if b.Tests > 0 {
			percent := unit.Round(100*float64(b.Estimable)/float64(b.Tests), 1)
			ci := stats.Wilson(b.Estimable, b.Tests)
			low, high := unit.Round(100*ci[0], 1), unit.Round(100*ci[1], 1)
			band.Percent, band.CILow, band.CIHigh = &percent, &low, &high
		}
		if n := float64(b.Estimable); n >= 2 {
			mean := b.sum / n
			bias, sd := unit.Round(mean, 1), unit.Round(math.Sqrt(max(0, (b.square-n*mean*mean)/(n-1))), 1)
			band.Bias, band.SD = &bias, &sd
		}
		list = append(list, band)
	}
	return list
}
