package grader

import (
	"slices"
	"strings"
	"testing"

	"kilopond/scenarios"
)

// A mistake is one habit, planted alone in an otherwise right test, and the rules that must find it: no more and no fewer.
type mistake struct {
	habit string
	caseID
	set   string // a setting of the rulebook that lets it occur, or ""
	rules string // apart by blanks
	gate  bool
}

type caseID string

const (
	well       caseID = "uneventful"
	chest      caseID = "thursday-three"
	falls      caseID = "friday-nine"
	unfit      caseID = "tuesday-noon"
	uneven     caseID = "thursday-eight"
	behind     caseID = "sunday-nine"
	slipping   caseID = "wednesday-one"
	perKind           = 6 // subjects on whom each mistake is tried
	seedsTried        = 120
)

// The mistakes of protocol and technique that teachers name, one kind a line.
var mistakes = []mistake{
	{"no brake check", well, "", "brake-zero", false},
	{"scale not explained", well, "", "explained", false},
	{"no health questions", well, "", "screen-health", false},
	{"no consent", well, "", "consent", false},
	{"arm not measured", well, "", "cuff-size", false},
	{"wrong cuff", well, "", "cuff-size", false},
	{"saddle not looked at", well, "", "saddle", false},
	{"rest cut short", well, "", "rest-time", false},
	{"no resting pressure", well, "", "rest-time", false},
	{"no baseline pressure", well, "", "baseline", false},
	{"ceiling worked out late", well, "", "ceiling-beforehand", false},
	{"metronome silent", well, "", "metronome", false},
	{"warm-up cut short", well, "", "warm-up", false},
	{"first load doubled", well, "", "first-work-rate", false},
	{"minute 2 not counted", well, "", "pulse-each-minute", false},
	{"unsteady accepted", well, "", "steady-accepted", false},
	{"needless minute", well, "", "extension-needless", false},
	{"one minute too many", well, "max_extensions=0", "extensions-many", false},
	{"column too high", well, "", "branch-column", false},
	{"column too low", well, "", "branch-column", false},
	{"a load left out", well, "", "later-loads", false},
	{"dial turned", well, "", "load-held", false},
	{"5 kp for 0.5", well, "", "load-dangerous", false},
	{"cadence unchecked", well, "", "cadence-checked", false},
	{"scale not read", well, "", "load-checked", false},
	{"went on with a slipped brake", slipping, "", "load-checked", false},
	{"counted after the end", well, "", "count-while-pedalling", false},
	{"ended after stage 2", well, "", "stage-count", false},
	{"stopped for nothing", well, "", "false-stop", false},
	{"no pressure, stage 2", well, "", "pressure-each-stage", false},
	{"pressure too early", well, "", "pressure-timing", false},
	{"valve wide open", well, "", "pressure-valve", false},
	{"pumped too little", well, "", "pressure-inflation", false},
	{"diastolic misheard", well, "", "pressure-accuracy", false},
	{"beats miscounted", well, "", "pulse-accuracy", false},
	{"multiplied wrongly", well, "", "sum-heart-rates", false},
	{"exertion never asked", well, "", "exertion", false},
	{"load not written", well, "", "load-written", false},
	{"pressure not written", well, "", "recorded", false},
	{"reason not written", well, "", "reason-written", false},
	{"never looked", well, "", "look-and-ask", false},
	{"never asked", well, "", "look-and-ask", false},
	{"counted too early", well, "", "pulse-timing", false},
	{"recovery pulse left out", well, "", "recovery-watched", false},
	{"left after the cool-down", well, "", "recovery-watched", true},
	{"cool-down at 2 kp", well, "", "cool-down", false},
	{"stopped dead", well, "", "cool-down", false},
	{"let go too soon", well, "cool_down.release_hr_bpm=70", "release", false},
	{"went on at the ceiling", well, "ceiling.fraction=0.6", "ceiling", true},
	{"miscounted at the ceiling", well, "ceiling.fraction=0.6", "ceiling pulse-accuracy", true},
	{"misheard the resting pressure", well, "screening.postpone_from_sbp_mmhg=102", "screen-decision pressure-accuracy", true},
	{"went on above the limit", well, "stop.above_sbp_mmhg=201", "pressure-limit", true},
	{"decided on one reading", well, "screening.postpone_from_sbp_mmhg=108", "rest-repeat", false},
	{"sent home for nothing", well, "", "needless-refusal", false},
	{"tested anyway", unfit, "", "screen-decision", true},
	{"called nobody", chest, "", "emergency-call", false},
	{"held nobody", chest, "", "emergency-posture", false},
	{"laid flat with pain in the chest", chest, "", "emergency-posture", false},
	{"no defibrillator", chest, "", "emergency-watch", false},
	{"went for help", chest, "", "emergency-watch", true},
	{"handed nothing over", chest, "", "hand-over", false},
	{"told nothing", well, "", "told", false},
	{"named an illness", well, "", "no-diagnosis", false},
	{"spoke against a medicine", well, "", "no-diagnosis", false},
	{"stopped 20 s late", chest, "", "stop-emergency", false},
	{"stopped a minute late", chest, "", "stop-emergency", true},
	{"cooled down instead of stopping", chest, "", "stop-emergency", false},
	{"raised the load instead of stopping", chest, "", "stop-emergency", true},
	{"ended on one low pressure", falls, "", "verify-pressure", false},
	{"ended on one uneven count", uneven, "ceiling.fraction=0.98", "verify-rhythm", false},
	{"ended on one flat rate", behind, "ceiling.fraction=0.98", "verify-rate", false},
	{"age misread", well, "", "sum-max-hr", false},
	{"ceiling at the maximum", well, "", "sum-ceiling", false},
	{"ceiling as a 10-s count", well, "", "sum-ceiling-count", false},
	{"stage 1 as a point", well, "", "sum-points", false},
	{"line read at the ceiling", well, "", "sum-work-rate", false},
	{"resting 7 left out", well, "", "sum-vo2-rel", false},
	{"millilitres for litres", well, "", "sum-vo2-abs", false},
	{"METs multiplied", well, "", "sum-mets", false},
	{"another class", well, "", "sum-rating", false},
	{"too narrow a range", well, "", "sum-error-range", false},
	{"no estimate though there is one", well, "", "sum-no-estimate", false},
}

// TestMistakes plants each mistake alone on several people; the right rule finds it and no other charges anything.
func TestMistakes(t *testing.T) {
	// Whether somebody's test is right without the mistake is the same for all mistakes of a case and a setting.
	type person struct {
		caseID
		set  string
		seed scenarios.Seed
	}
	known := map[person]bool{}
	right := func(book Rulebook, c scenarios.Case, who person) bool {
		ok, seen := known[who]
		if !seen {
			ok = *Grade(book, play(t, book, c, who.seed, nil).course(t)).Percent == 100
			known[who] = ok
		}
		return ok
	}
	for _, m := range mistakes {
		t.Run(m.habit, func(t *testing.T) {
			book := Default()
			if m.set != "" {
				if err := book.Set(m.set); err != nil {
					t.Fatal(err)
				}
			}
			c := mustCase(t, string(m.caseID))
			tried, gates := 0, 0
			for seed := scenarios.Seed(0); seed < seedsTried && tried < perKind; seed++ {
				if !right(book, c, person{m.caseID, m.set, seed}) {
					continue // this setting makes the person one on whom more goes on than the mistake
				}
				st := play(t, book, c, seed, habits()[m.habit]())
				course := st.course(t)
				if st.slips == 0 || strings.HasPrefix(m.rules, "screen-decision") && !begun(course) {
					continue // the place for the mistake did not come
				}
				if open := leftOpen[m.habit]; open != nil && open(book, course) {
					continue
				}
				r := Grade(book, course)
				var got []string
				for _, f := range charges(r) {
					if !slices.Contains(got, f.Rule) {
						got = append(got, f.Rule)
					}
				}
				tried++
				if len(r.Gate) > 0 {
					gates++
				}
				if strings.Join(got, " ") != m.rules {
					t.Errorf("seed %d: charged %v, want %s", seed, got, m.rules)
					for _, f := range charges(r) {
						t.Log(line(f))
					}
				}
				if m.gate != (len(r.Gate) > 0) {
					t.Errorf("seed %d: gate %q, want closed: %v", seed, r.Gate, m.gate)
				}
				if *r.Percent >= 100 {
					t.Errorf("seed %d: cost nothing", seed)
				}
			}
			if tried == 0 {
				t.Error("the mistake could be made on nobody")
			}
		})
	}
}
