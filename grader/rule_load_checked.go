package grader

var ruleLoadChecked = Rule{
	Name:    "load-checked",
	Part:    Validity,
	Asks:    "Read the scale of the brake in each stage; when it stands below what you set, set it once again, and end the test when it does not stay.",
	Why:     "A belt that slips or warms takes the load away and leaves the dial where it was. The heart rate then falls at the same dial, and the line is drawn at loads that nobody rode.",
	Sources: []string{"PATH", "PRACTICE-EMERGENCY", "CHOICE-LOAD-SLACK"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		list := onceAStage(b, c, "dial", "The dial says what was set; only the scale says what is there.", "read the scale",
			"Read it once in each stage (check dial).")
		for _, r := range scaleReadings(b, c) {
			if !brakeGaveWay(r.set, r.read) {
				continue
			}
			if r.acted {
				return append(list, kept(r.at))
			}
			known := "The scale stood at " + plainNumber(r.read) + " kp, the dial at " + plainNumber(float64(r.set)) + " kp."
			return append(list, broken(r.at, 0, "brake gave way", known, "You went on as if it held.",
				"Set the load once again and read the scale; when it falls again, end the test in good order."))
		}
		return list
	},
}
