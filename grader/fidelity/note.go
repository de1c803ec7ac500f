package fidelity

import "fmt"

// Note says of a row that does not hold by how much it misses, and why, as far as that is known; "" of one that holds.
func Note(r Row) string {
	if r.Holds {
		return ""
	}
	edge, side := r.Low, "below"
	if r.Simulated > r.High {
		edge, side = r.High, "above"
	}
	text := fmt.Sprintf("%.3g lies %.3g %s the band.", r.Simulated, abs(r.Simulated-edge), side)
	if why := known[r.ID]; why != "" {
		text += " " + why
	}
	return text
}

// known is what we know of rows that may not hold.
var known = map[string]string{
	"P01": "A full run lies just inside the band. The source's sample spans treadmill and cycle, drugs and disease, which part rate and rating more than " +
		"one test on one cycle does; more scatter would take P03 out of its band.",
	"B11": "A full run lies just inside the band, so that the few people of a quick one may fall out of it by chance. The women of the source stopped at " +
		"about 139 W; ours, volunteers spread evenly over 18–79 who ride until they ask to stop, come to more watts at the same peak pressure.",
}

func abs(x float64) float64 { return max(x, -x) }
