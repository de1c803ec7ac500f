package protocol

import (
	"errors"
	"math"

	"kilopond/physiology/unit"
)

// Carry is the last part of Estimate with its pieces exchangeable: it reads the line through points at a maximum, and turns the work rate there
// into oxygen uptake by a cost. One point gives its single-stage value. The work rate is 0 for that. The error says why there is no estimate.
func Carry(r Rules, p Person, points []Point, maxHR unit.HR, cost func(unit.WorkRate) unit.VO2) (unit.RelVO2, unit.WorkRate, error) {
	if len(points) == 0 || !(p.Mass > 0) {
		return 0, 0, errors.New("no point, or no body mass")
	}
	var work []unit.WorkRate
	var hr []unit.HR
	for i, pt := range points {
		work, hr = append(work, pt.WorkRate), append(hr, pt.HR)
		if i > 0 {
			if why := tooFlat(r, points[i-1], pt); why != "" {
				return 0, 0, errors.New(why)
			}
		}
	}
	var rel unit.RelVO2
	var w unit.WorkRate
	if len(points) == 1 {
		rel = unit.RelVO2(SingleStage(p.Sex, float64(cost(work[0]).Per(p.Mass)), hr[0], maxHR))
	} else {
		var err error
		if w, err = WorkRateAt(r.Fit, work, hr, maxHR); err != nil {
			return 0, 0, err
		}
		rel = cost(w).Per(p.Mass)
	}
	if f := float64(rel); math.IsNaN(f) || math.IsInf(f, 0) || f <= 0 {
		return 0, 0, errors.New("the numbers give no oxygen uptake")
	}
	return rel, w, nil
}
