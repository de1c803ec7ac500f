package grader

var ruleAskedToStop = Rule{
	Name:    "asked-to-stop",
	Part:    Safety,
	Asks:    "End the test at once when the person asks for it, for any reason.",
	Why:     "The person agreed to the test on the promise that they may stop at any time. They also feel things that no instrument shows. Ask why afterwards.",
	Sources: []string{"EXRX", "CHOICE-LATENCY"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		n, ok := noticed(b, c, asksToStop, c.PedalAtS, workUntil(c))
		if !ok {
			return nil
		}
		// When a sign of an emergency came first, that is the cause.
		cause := "asked-to-stop"
		if e, also := noticed(b, c, isEmergency, c.PedalAtS, workUntil(c)); also && e.AtS <= n.AtS {
			cause = "stop-emergency"
		}
		return []Opportunity{atOnce(b, c, n, cause)}
	},
}
