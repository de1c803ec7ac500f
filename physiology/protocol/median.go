package protocol

import (
	"errors"

	"kilopond/physiology/unit"
)

// medians are 50th percentiles of VO2max in mL/kg/min that were read in an abstract. Source: [KAMINSKY2015] treadmill, [KAMINSKY2017] cycle.
var medians = map[string]map[unit.Sex]map[string]unit.RelVO2{
	"treadmill": {unit.Male: {"20-29": 48.0, "70-79": 24.4}, unit.Female: {"20-29": 37.6, "70-79": 18.3}},
	"cycle":     {unit.Male: {"20-29": 41.9, "70-79": 19.5}, unit.Female: {"20-29": 31.0, "70-79": 14.8}},
}

// Median returns the registry's median for a mode (treadmill, cycle) and an age band (20-29, 70-79: the two that were read).
func Median(mode string, sex unit.Sex, ageBand string) (unit.RelVO2, error) {
	v, ok := medians[mode][sex][ageBand]
	if !ok {
		return 0, errors.New("known for mode treadmill or cycle, sex M or F, age_band 20-29 or 70-79")
	}
	return v, nil
}
