package grader

import "strings"

// Tags are the competencies behind the rules, in the order in which a test meets them. Source: [CHOICE-TAGS].
func Tags() []string {
	return []string{"screen", "explain", "ergometer", "pulse", "pressure", "exertion", "protocol", "responses", "stop", "emergency", "recovery", "records", "compute", "report"}
}

// TagsOf are the competencies that a rule asks for, one or more. Source: [CHOICE-TAGS].
func TagsOf(rule string) []string {
	switch rule {
	case "screen-health", "consent", "rest-time", "rest-repeat", "screen-decision", "needless-refusal":
		return []string{"screen"}
	case "explained":
		return []string{"explain"}
	case "saddle", "brake-zero", "metronome", "warm-up", "load-held", "cadence-checked", "load-checked":
		return []string{"ergometer"}
	case "load-dangerous", "first-work-rate":
		return []string{"ergometer", "protocol"}
	case "pulse-each-minute", "pulse-timing", "pulse-accuracy", "count-while-pedalling", "verify-rhythm":
		return []string{"pulse"}
	case "verify-rate":
		return []string{"pulse", "responses"}
	case "cuff-size", "baseline", "pressure-each-stage", "pressure-timing", "pressure-valve", "pressure-inflation", "pressure-accuracy":
		return []string{"pressure"}
	case "verify-pressure":
		return []string{"pressure", "responses"}
	case "exertion":
		return []string{"exertion"}
	case "steady-accepted", "extension-needless", "extensions-many", "branch-column", "later-loads", "stage-count":
		return []string{"protocol"}
	case "look-and-ask":
		return []string{"responses"}
	case "ceiling", "pressure-limit", "end-sign", "asked-to-stop", "false-stop":
		return []string{"stop", "responses"}
	case "stop-emergency":
		return []string{"stop", "emergency"}
	case "emergency-call", "emergency-posture", "emergency-watch", "hand-over":
		return []string{"emergency"}
	case "cool-down", "recovery-watched", "release", "told", "no-diagnosis":
		return []string{"recovery"}
	case "load-written", "recorded", "reason-written":
		return []string{"records"}
	case "ceiling-beforehand":
		return []string{"compute", "protocol"}
	case "sum-rating", "sum-error-range", "sum-no-estimate":
		return []string{"report"}
	}
	if strings.HasPrefix(rule, "sum-") {
		return []string{"compute"}
	}
	return nil
}
