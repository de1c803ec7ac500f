package grader

import "strings"

var ruleBaseline = Rule{
	Name:    "baseline",
	Part:    Procedure,
	Asks:    "Take pulse and pressure on the cycle just before the person pedals.",
	Why:     "Later readings are compared with this one, in the same posture. A fall below it in work is a reason to end.",
	Sources: []string{"KNOWT"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		from := seatedOnCycle(c)
		var missing []string
		pulse, pressure := false, false
		for _, k := range c.Counts {
			pulse = pulse || whole(k) && from >= 0 && k.FromS >= from && k.ToS <= c.PedalAtS
		}
		for _, k := range c.Cuffs {
			pressure = pressure || k.read() && from >= 0 && k.FromS >= from && k.ToS <= c.PedalAtS
		}
		if !pulse {
			missing = append(missing, "pulse")
		}
		if !pressure {
			missing = append(missing, "pressure")
		}
		if len(missing) == 0 {
			return []Opportunity{kept(c.PedalAtS)}
		}
		return []Opportunity{broken(c.PedalAtS, 1-float64(len(missing))/2, "baseline", "The person sat on the cycle, ready to pedal.",
			"You took no "+strings.Join(missing, " and no ")+" there.", "Take both on the cycle before the warm-up.")}
	},
}
