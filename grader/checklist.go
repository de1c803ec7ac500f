package grader

// A Station is a part of a test in the order of the lab.
type Station struct {
	Title string
	Rules []StationRule
}

// A StationRule is one rule on an examiner's checklist.
type StationRule struct {
	Rule
	Points float64 // of 100, when everything can be reached
	Closes bool    // breaking it can close the gate
}

// stations are the rules in the order in which an examiner meets them.
func stations() []struct {
	title string
	rules []string
} {
	return []struct {
		title string
		rules []string
	}{
		{"Before the person comes", []string{"brake-zero", "ceiling-beforehand"}},
		{"Talking and screening", []string{"explained", "screen-health", "consent"}},
		{"At rest", []string{"cuff-size", "saddle", "rest-time", "rest-repeat", "screen-decision", "needless-refusal", "baseline"}},
		{"Warm-up and loads", []string{
			"metronome", "warm-up", "first-work-rate", "cadence-checked", "load-checked", "load-held", "load-written", "branch-column", "later-loads", "load-dangerous",
		}},
		{"Each minute, each stage", []string{
			"look-and-ask", "count-while-pedalling", "pulse-each-minute", "pulse-timing", "pulse-accuracy", "pressure-each-stage", "pressure-timing",
			"pressure-inflation", "pressure-valve", "pressure-accuracy", "exertion", "recorded", "steady-accepted", "extension-needless", "extensions-many",
		}},
		{"When something is odd", []string{"verify-rate", "verify-rhythm", "verify-pressure", "false-stop"}},
		{"Ending", []string{"stage-count", "ceiling", "pressure-limit", "asked-to-stop", "end-sign", "stop-emergency", "emergency-posture", "emergency-call", "emergency-watch", "hand-over", "reason-written"}},
		{"Recovery", []string{"cool-down", "recovery-watched", "told", "no-diagnosis", "release"}},
		{"Calculation and report", []string{
			"sum-max-hr", "sum-ceiling", "sum-ceiling-count", "sum-heart-rates", "sum-points", "sum-work-rate", "sum-vo2-rel", "sum-vo2-abs", "sum-mets", "sum-rating",
			"sum-error-range", "sum-no-estimate",
		}},
	}
}

// gateRules are the rules whose breach can close the gate.
func gateRules() map[string]bool {
	return map[string]bool{
		"screen-decision": true, "ceiling": true, "pressure-limit": true, "end-sign": true, "stop-emergency": true, "recovery-watched": true,
		"emergency-watch": true, "verify-rate": true, "verify-rhythm": true, "verify-pressure": true,
	}
}

// Checklist is every rule once, in the order of the lab, with its points under the rulebook.
func Checklist(b Rulebook) []Station {
	byName := map[string]Rule{}
	worth := map[Part]float64{}
	for _, r := range Rules() {
		byName[r.Name] = r
		worth[r.Part] += b.Points[r.Name]
	}
	closes := gateRules()
	var all []Station
	for _, s := range stations() {
		st := Station{Title: s.title}
		for _, name := range s.rules {
			r := StationRule{Rule: byName[name], Closes: closes[name]}
			if w := worth[r.Part]; w > 0 {
				r.Points = b.Points[name] * b.Weights.Of(r.Part) / w
			}
			st.Rules = append(st.Rules, r)
		}
		all = append(all, st)
	}
	return all
}
