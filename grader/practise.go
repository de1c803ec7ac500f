package grader

// A Stake says what a finding of safety could have cost a real person.
type Stake string

const (
	StakeLife   Stake = "life"   // a life, or lasting harm
	StakeInjury Stake = "injury" // a fall, a faint, pain
	StakeTrust  Stake = "trust"  // comfort, consent, or a test that was never done
)

// stakeOf says what breaking a rule of safety could have cost, whether or not it closes the gate: a ceiling passed by somebody well does so and
// is no matter of life. Other parts have no stake: what they spoil is the number. Source: [CHOICE-STAKES].
func stakeOf(rule string, part Part) Stake {
	if part != Safety {
		return ""
	}
	switch rule {
	case "screen-health", "screen-decision", "stop-emergency", "verify-pressure", "verify-rhythm", "verify-rate", "pressure-limit", "emergency-call", "emergency-watch",
		"recovery-watched":
		return StakeLife
	case "consent", "needless-refusal", "false-stop", "no-diagnosis":
		return StakeTrust
	}
	return StakeInjury
}

// A Practice is the one thing to practise next.
type Practice struct {
	Rule  string `json:"rule"`
	AtS   int    `json:"at_s"`
	Where string `json:"where"`
	Skill string `json:"skill"` // the one-minute skill that trains it
}

// practice picks the costliest finding: one that closes the gate before all others, then the most points, then the first; nil when there is none.
func practice(findings []Finding) *Practice {
	best := -1
	for i, f := range findings {
		if f.ChargedTo != "" && f.ClosesGate == "" {
			continue
		}
		if best < 0 || costlier(f, findings[best]) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	f := findings[best]
	return &Practice{Rule: f.Rule, AtS: f.AtS, Where: f.Where, Skill: SkillFor(f.Rule)}
}

func costlier(f, than Finding) bool {
	if gate := f.ClosesGate != ""; gate != (than.ClosesGate != "") {
		return gate
	}
	return f.Lost > than.Lost
}

// SkillFor names the short skill that trains what a rule asks; that of the calculation for a rule of which nothing is said. Source: [CHOICE-SKILLS].
func SkillFor(rule string) string {
	switch rule {
	case "screen-health", "consent", "rest-repeat", "screen-decision", "needless-refusal", "explained", "rest-time", "baseline":
		return "screen"
	case "stop-emergency", "asked-to-stop", "end-sign", "false-stop", "emergency-call", "emergency-posture", "emergency-watch", "no-diagnosis", "hand-over", "told", "look-and-ask", "cool-down", "recovery-watched", "release", "reason-written":
		return "stop"
	case "verify-pressure", "pressure-limit", "pressure-valve", "pressure-inflation", "pressure-accuracy", "cuff-size":
		return "cuff"
	case "ceiling", "ceiling-beforehand", "sum-max-hr", "sum-ceiling", "sum-ceiling-count":
		return "ceiling"
	case "steady-accepted", "extension-needless", "extensions-many", "stage-count":
		return "steady"
	case "load-dangerous", "first-work-rate", "branch-column", "later-loads", "load-held", "load-checked", "load-written":
		return "branch"
	case "verify-rhythm", "verify-rate", "pulse-accuracy", "count-while-pedalling", "sum-heart-rates":
		return "pulse"
	case "brake-zero", "metronome", "warm-up", "pulse-each-minute", "cadence-checked", "saddle", "pulse-timing", "pressure-each-stage",
		"pressure-timing", "exertion", "recorded":
		return "plan"
	}
	return "estimate"
}
