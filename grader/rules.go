package grader

import (
	"slices"
	"sync"
)

// Rules returns every rule in the frozen order in which causes are charged: where two rules find the same cause, the earlier bears it.
//
// Inside a part the order is: what comes first in the lab, then what follows from it.
func Rules() []Rule { return slices.Clone(everyRule()) }

// everyRule makes them once: a class is graded by the thousand, and nobody changes the list.
var everyRule = sync.OnceValue(func() []Rule {
	rules := []Rule{
		// Safety.
		ruleScreenHealth, ruleConsent, ruleRestRepeat, ruleScreenDecision, ruleNeedlessRefusal, ruleLoadDangerous,
		ruleStopEmergency, ruleAskedToStop, ruleVerifyPressure, ruleVerifyRhythm, ruleVerifyRate, rulePressureLimit, ruleEndSign, ruleCeiling, ruleFalseStop,
		ruleEmergencyCall, ruleEmergencyPosture, ruleEmergencyWatch, ruleNoDiagnosis, ruleLookAndAsk, ruleCoolDown, ruleRecoveryWatched, ruleRelease,
		// Validity.
		ruleBrakeZero, ruleMetronome, ruleWarmUp, ruleFirstWorkRate, rulePulseEachMinute, ruleSteadyAccepted, ruleExtensionNeedless,
		ruleExtensionsMany, ruleBranchColumn, ruleLaterLoads, ruleLoadHeld, ruleCadenceChecked, ruleLoadChecked, ruleCountWhilePedalling, ruleStageCount,
		// Procedure.
		ruleExplained, ruleSaddle, ruleCuffSize, ruleRestTime, ruleBaseline, ruleCeilingBeforehand, rulePulseTiming,
		rulePulseAccuracy, rulePressureEachStage, rulePressureTiming, rulePressureValve, rulePressureInflation, rulePressureAccuracy,
		ruleExertion, ruleLoadWritten, ruleRecorded, ruleReasonWritten, ruleHandOver, ruleTold,
	}
	rules = append(rules, arithmeticRules()...)
	for i := range rules {
		rules[i] = signed(rules[i])
	}
	return rules
})

// signed makes every finding of the rule carry the rule's own name, part, reason and sources, so that no judge repeats them.
func signed(r Rule) Rule {
	judge := r.Judge
	r.Judge = func(b Rulebook, c *Course) []Opportunity {
		found := judge(b, c)
		for i := range found {
			f := found[i].Finding
			if f == nil {
				continue
			}
			f.Rule, f.Part, f.AtS = r.Name, r.Part, found[i].AtS
			if f.Where == "" {
				f.Where = where(c, found[i].AtS)
			}
			if f.Why == "" {
				f.Why = r.WhyIn(b)
			}
			if f.Sources == nil {
				f.Sources = r.Sources
			}
		}
		return found
	}
	return r
}

// proctorPoints is the points of the rules of conduct, by name, of 40 for safety, 30 for validity and 15 for procedure.
//
// Only their proportions within a part matter. The safety and validity weights follow the decision table of our assessment notes; small
// whole numbers, because unequal fine weights hardly move the order of students. Source: [CHOICE-POINTS].
func proctorPoints() map[string]float64 {
	return map[string]float64{
		"screen-health": 2, "consent": 1, "rest-repeat": 1, "screen-decision": 5, "needless-refusal": 4, "load-dangerous": 2,
		"stop-emergency": 8, "asked-to-stop": 4, "verify-pressure": 4, "verify-rhythm": 3, "verify-rate": 2, "pressure-limit": 3, "end-sign": 4, "ceiling": 5, "false-stop": 3,
		"emergency-call": 4, "emergency-posture": 4, "emergency-watch": 4, "no-diagnosis": 2, "look-and-ask": 2, "cool-down": 2, "recovery-watched": 3, "release": 2,

		"brake-zero": 1, "metronome": 1, "warm-up": 1, "first-work-rate": 2, "pulse-each-minute": 3, "steady-accepted": 6,
		"extension-needless": 2, "extensions-many": 1, "branch-column": 7, "later-loads": 3, "load-held": 2, "cadence-checked": 1, "load-checked": 1,
		"count-while-pedalling": 2, "stage-count": 4,

		"explained": 0.5, "saddle": 0.5, "cuff-size": 1, "rest-time": 0.5, "baseline": 0.5, "ceiling-beforehand": 1.5, "pulse-timing": 1.5,
		"pulse-accuracy": 2, "pressure-each-stage": 2, "pressure-timing": 0.5, "pressure-valve": 0.5, "pressure-inflation": 0.5,
		"pressure-accuracy": 1.5, "exertion": 1, "load-written": 0.5, "recorded": 1, "reason-written": 0.5, "hand-over": 1, "told": 0.5,
	}
}
