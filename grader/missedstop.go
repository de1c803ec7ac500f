package grader

// missedStop is the cause of an end that was due in a stage, or before it, and was passed over for another stage; "" when none was. What that
// stage did without because of it (a steady rate, a rating, a pressure) belongs to that one decision.
func missedStop(b Rulebook, c *Course, s StageRun) string {
	if s.Last {
		return ""
	}
	known := func(at int) bool { return at <= s.ToS }
	if n, ok := noticed(b, c, isEmergency, c.PedalAtS, workUntil(c)); ok && known(n.AtS) {
		return "stop-emergency"
	}
	if n, ok := noticed(b, c, asksToStop, c.PedalAtS, workUntil(c)); ok && known(n.AtS) {
		return "asked-to-stop"
	}
	if f, ok := fallOf(b, c); ok && f.confirmed && known(f.second.KnownS) {
		return pressureFell
	}
	if d, ok := confirmedDoubt(b, c); ok && known(d.second.KnownS) {
		return d.cause
	}
	if overLimit(b, c, s) {
		return "pressure limit"
	}
	if n, ok := noticed(b, c, isEnd, c.PedalAtS, workUntil(c)); ok && known(n.AtS) {
		return "end sign"
	}
	for _, e := range c.Exertions {
		if e.Stage > 0 && e.RPE > b.Stop.AskRPE && known(e.AtS) {
			return "end sign"
		}
	}
	if reachedCeiling(b, c, s) {
		return "ceiling"
	}
	return ""
}
