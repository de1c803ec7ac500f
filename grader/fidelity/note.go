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
	"B21": "The source's line for women rises by 0.10 mmHg/W from 156 at no work, that of B03, from more than three times as many people, by 0.52. From 118 at " +
		"rest both cannot be had.",
	"C16": "A full run lies just inside the band, so that the few people of a quick one may fall out of it by chance.",
	"C18": "Ours reach 130 at fewer watts (C06), so that the same distance between people, about 0.5 W/kg, is a larger quotient.",
	"C20": olderRiders,
	"C22": olderRiders,
	"E05": "The source's own line for uptake gives a woman of 45 years and 164 cm 1.7 L/min, which is a fifth below the medians that V04 and V06 hold; E03, of 898 " +
		"women, agrees with ours.",
	"R17": "Ours are compared with their lasting rate, the source's with one control day: rest does not change from day to day in ours but by apprehension.",
	"B11": "A full run lies just inside the band, so that the few people of a quick one may fall out of it by chance. The women of the source stopped at " +
		"about 139 W; ours, volunteers spread evenly over 18–79 who ride until they ask to stop, come to more watts at the same peak pressure.",
}

const olderRiders = "The source's people, fit enough for its test, lose 0.15 mL/kg/min a year (estimated; men of 60: 33); ours lose what the registries print (V05, V07, V13; " +
	"men of 60: about 29), and both cannot hold."

func abs(x float64) float64 { return max(x, -x) }
