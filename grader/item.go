package grader

// An Item is what one rule came to in one attempt: the mean credit of the places at which it could be kept.
type Item struct {
	Rule   string   `json:"rule"`
	Part   Part     `json:"part"`
	Places int      `json:"places"` // at which it was judged; 0 when all that it found is charged to other rules
	Credit float64  `json:"credit"` // 0 to 1, the mean over the places
	Points float64  `json:"points"` // that could be reached
	Closes []string `json:"closes_gate,omitempty"`

	worst float64 // credit of the worst place
}

// item is what a rule found, at the points that it is worth on this path.
func item(j judged, points float64, closes []string) Item {
	i := Item{Rule: j.rule.Name, Part: j.rule.Part, Places: len(j.found), Points: points, Closes: closes, worst: 1}
	for _, o := range j.found {
		i.worst = min(i.worst, o.Credit)
		i.Credit += o.Credit
	}
	i.Credit /= float64(len(j.found))
	return i
}
