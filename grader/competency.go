package grader

import "strings"

// CompetencyOf returns the decision, of scenarios.Competencies, that a rule belongs to: a student who fails the rule should meet other people of
// that kind, after the short skill of it. "" for a name that is no rule.
func CompetencyOf(rule string) string {
	switch rule {
	case "screen-health", "consent", "rest-repeat", "screen-decision", "needless-refusal", "rest-time", "baseline":
		return "screen"
	case "brake-zero", "metronome", "explained", "saddle", "warm-up", "load-held", "cadence-checked", "load-written", "recorded", "first-work-rate", "load-checked":
		return "prepare"
	case "pulse-each-minute", "count-while-pedalling", "pulse-timing", "pulse-accuracy", "stage-count", "verify-rhythm", "verify-rate":
		return "pulse"
	case "cuff-size", "verify-pressure", "pressure-each-stage", "pressure-timing", "pressure-valve", "pressure-inflation", "pressure-accuracy":
		return "cuff"
	case "branch-column", "later-loads", "load-dangerous":
		return "branch"
	case "steady-accepted", "extension-needless", "extensions-many":
		return "steady"
	case "ceiling", "ceiling-beforehand":
		return "ceiling"
	case "stop-emergency", "asked-to-stop", "pressure-limit", "end-sign", "false-stop", "emergency-call", "emergency-posture", "emergency-watch", "hand-over", "look-and-ask", "exertion", "reason-written":
		return "stop"
	case "cool-down", "recovery-watched", "release", "told", "no-diagnosis":
		return "recover"
	}
	if strings.HasPrefix(rule, "sum-") {
		return "estimate"
	}
	return ""
}
