package protocol

import (
	"encoding/json"

	"kilopond/physiology/unit"
)

// MarshalJSON writes the answer with its units in the field names, each number rounded once as it is printed; what could not be worked is null.
func (a Answer) MarshalJSON() ([]byte, error) {
	some := func(x float64, decimals int, known bool) *float64 {
		if !known {
			return nil
		}
		v := unit.Round(x, decimals)
		return &v
	}
	type point struct {
		Stage    int      `json:"stage"`
		WorkRate float64  `json:"work_rate_kgm_min"`
		HR       *float64 `json:"hr_bpm"`
		Used     bool     `json:"used"`
		Why      string   `json:"why"`
	}
	points := make([]point, 0, len(a.Points))
	for _, p := range a.Points {
		points = append(points, point{p.Stage, unit.Round(float64(p.WorkRate), 1), some(float64(p.HR), 2, p.HR > 0), p.Used, p.Why})
	}
	var rating *Rating
	if a.Estimable {
		rating = &a.Rating
	}
	lined := a.Estimable && a.Slope > 0
	return json.Marshal(struct {
		MaxHR       *float64 `json:"predicted_max_hr_bpm"`
		Ceiling     *float64 `json:"ceiling_hr_bpm"`
		Points      []point  `json:"points"`
		Slope       *float64 `json:"slope_bpm_per_kgm_min"`
		MaxWorkRate *float64 `json:"max_work_rate_kgm_min"`
		VO2Abs      *float64 `json:"vo2max_l_min"`
		VO2Rel      *float64 `json:"vo2max_ml_kg_min"`
		METs        *float64 `json:"mets"`
		Rating      *Rating  `json:"rating"`
		Confidence  string   `json:"confidence"`
		WhyNot      string   `json:"why_not"`
		Steps       []string `json:"steps"`
		Warnings    []string `json:"warnings"`
		Sources     []string `json:"sources"`
	}{
		some(float64(a.MaxHR), 2, a.MaxHR > 0), some(float64(a.Ceiling), 2, a.Ceiling > 0), points,
		some(a.Slope, 6, lined), some(float64(a.MaxWorkRate), 2, lined),
		some(a.VO2Abs.LitresPerMin(), 3, a.Estimable), some(float64(a.VO2Rel), 2, a.Estimable), some(float64(a.METs), 2, a.Estimable),
		rating, a.Confidence, a.WhyNot, list(a.Steps), list(a.Warnings), list(a.Sources),
	})
}

// list keeps an empty list from being written as null.
func list(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}
