package grader

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"kilopond/scenarios"
)

// A walked is a test as it went, told by its loads, readings and end alone.
type walked struct {
	age    float64
	rest   float64 // systolic before the test
	stages []walkedStage
	reason StopReason
}

type walkedStage struct {
	load      float64 // kg·m/min
	minutes   []float64
	seconds   int
	extended  int
	gaps      int // minutes without a count of their own, where the hands were at the cuff or settled a doubt: only of one who works alone
	systolics []float64
	diastolic []float64
	atOnce    bool // sounds at once from above the limit
	order     string
}

// byHand says what is wrong with a walked by the four-band rules, worked here without the grader's functions: numbers of rulebook show.
func (r walked) byHand() (faults []string) {
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	ceiling, usable, over := 0.85*(220-r.age), 0, false
	point := 0.0 // bpm of the usable stage before
	for i, s := range r.stages {
		ends := i == len(r.stages)-1
		want := 150.0
		if i > 0 {
			first := r.stages[0].minutes
			switch hr := first[len(first)-1]; {
			case hr < 80:
				want = 750
			case hr < 90:
				want = 600
			case hr <= 100:
				want = 450
			default:
				want = 300
			}
			want += 150 * float64(i-1)
		}
		if math.Abs(s.load-want) > 0.1 {
			fault("stage %d at %.0f kg·m/min, want %.0f", i+1, s.load, want)
		}
		n := len(s.minutes)
		steady := n >= 2 && math.Abs(s.minutes[n-1]-s.minutes[n-2]) <= 5
		apart := 0 // how often the last two minutes asked for one more
		for m, hr := range s.minutes {
			over = over || hr >= ceiling
			if m >= 2 && math.Abs(hr-s.minutes[m-1]) > 5 {
				apart++
			}
		}
		if s.extended > apart+2*s.gaps { // the lost minute's, and one to have two in a row
			fault("stage %d was extended %d times over %v", i+1, s.extended, s.minutes)
		}
		if !ends && (n < 3 || !steady && s.extended < 3) {
			fault("stage %d was left after %v", i+1, s.minutes)
		}
		if over && !ends {
			fault("went on at %v bpm, ceiling %.1f", s.minutes, ceiling)
		}
		if hr := s.mean(); n >= 3 && steady && hr >= 110 && hr <= ceiling {
			if usable > 0 && hr-point <= 5 {
				usable = 0 // no line through two points so near: the later begins anew
			}
			usable, point = usable+1, hr
		}
		if usable >= 2 && !ends {
			fault("went on with two usable stages")
		}
	}
	switch end := r.stages[len(r.stages)-1]; r.reason {
	case StopTwoStages:
		if usable < 2 {
			fault("ended with %d usable stages", usable)
		}
	case StopCeiling:
		if !over {
			fault("ended below the ceiling of %.1f: %v", ceiling, end.minutes)
		}
	case StopPressure:
		if !end.atOnce && !end.tooHigh() && !r.fell() {
			fault("ended on %v/%v mmHg", end.systolics, end.diastolic)
		}
	}
	return faults
}

func (s walkedStage) mean() float64 {
	n := len(s.minutes)
	if n < 2 {
		return 0
	}
	return (s.minutes[n-1] + s.minutes[n-2]) / 2
}

func (s walkedStage) tooHigh() bool {
	for i := range s.systolics {
		if s.systolics[i] > 250 || s.diastolic[i] > 115 {
			return true
		}
	}
	return false
}

// fell says whether the last stage brought a systolic 10 mmHg or more below the stage before, and a second that was low again or below rest.
func (r walked) fell() bool {
	n := len(r.stages)
	for i := n - 2; i >= 0; i-- {
		if list := r.stages[i].systolics; len(list) > 0 {
			before, now := list[len(list)-1], r.stages[n-1].systolics
			return len(now) >= 2 && now[0] <= before-10 && (now[1] <= before-10 || now[1] < r.rest)
		}
	}
	return false
}

// walkedBy is the walked of a trial.
func (t *Trial) walkedBy(age float64) walked {
	r := walked{age: age, rest: float64(t.rest), reason: t.result.StopReason}
	for _, s := range t.stages {
		now := walkedStage{load: float64(s.WorkRate), extended: max(0, len(s.Minutes)-3)}
		for _, hr := range s.Minutes {
			now.minutes = append(now.minutes, float64(hr))
		}
		r.stages = append(r.stages, now)
	}
	for _, k := range t.readings {
		s := &r.stages[k.stage-1]
		if k.systolic == 0 {
			s.order += "p"
			continue
		}
		s.order += "B"
		s.systolics, s.diastolic = append(s.systolics, float64(k.systolic)), append(s.diastolic, float64(k.diastolic))
	}
	for i := range r.stages { // a stage lasts from the first reading's minute to the next stage's
		if i+1 < len(r.stages) {
			r.stages[i].seconds = t.stageAt(i+2) - t.stageAt(i+1)
		}
	}
	n := len(r.stages)
	sounds, _ := t.heardNow()
	r.stages[n-1].atOnce = r.reason == StopPressure && sounds.HeardAtOnce && t.cuff.Top() > 250
	return r
}

// stageAt is when a stage of the trial began: a minute before its first reading.
func (t *Trial) stageAt(stage int) int {
	for _, k := range t.readings {
		if k.stage == stage {
			return k.at - 60
		}
	}
	return t.second
}

// stopped says whether something spoke against going on.
func (r StopReason) stopped() bool {
	switch r {
	case StopTwoStages, StopCeiling, StopExertion, StopBrake:
		return false
	}
	return true
}

// reasonsOf are the ends of a session as a trial names them.
var reasonsOf = map[string]StopReason{
	"a sign that ends a test at once": StopSign, "a sign that ends a test": StopSign, "the person asked to stop": StopAsked, "exertion": StopExertion,
	"pressure above the limit": StopPressure, "a fall of pressure, confirmed": StopPressure,
	"a doubt about the pulse, confirmed: " + unevenPulse: StopPulse, "a doubt about the pulse, confirmed: " + flatRate: StopPulse,
	"a brake that does not hold its load": StopBrake, theCeiling: StopCeiling, nearTheCeiling: StopTwoStages, "": StopTwoStages,
}

// walkedIn is the walked of a session.
func walkedIn(b Rulebook, c *Course) walked {
	r := walked{age: float64(c.Header.Subject.AgeY), reason: reasonsOf[endReason(b, c, c.EndedAtS)]}
	if rest, ok := restingSystolic(c); ok {
		r.rest = float64(rest)
	}
	for _, s := range c.Stages {
		now := walkedStage{load: float64(s.WorkRate), extended: len(s.Extensions), seconds: s.ToS - s.FromS}
		for _, m := range readings(c, s, c.EndedAtS) {
			now.minutes = append(now.minutes, float64(m.HR))
		}
		if list := readings(c, s, c.EndedAtS); len(list) > 0 {
			now.gaps = list[len(list)-1].Minute - len(list)
			for _, m := range list {
				if m.Count.Seconds >= verifyingCountS && m.Minute > 3 {
					now.gaps++
				}
			}
		}
		type taken struct {
			at   int
			what string
		}
		var order []taken
		for _, k := range c.Counts {
			if whole(k) && k.FromS >= s.FromS && k.ToS <= s.ToS {
				order = append(order, taken{k.ToS, "p"})
			}
		}
		for _, k := range cuffsIn(c, s.FromS, s.ToS) {
			now.atOnce = now.atOnce || k.overLimit(b) && !k.read()
			if k.read() {
				now.systolics, now.diastolic = append(now.systolics, float64(k.systolic())), append(now.diastolic, float64(k.diastolic()))
				order = append(order, taken{k.ToS, "B"})
			}
		}
		slices.SortStableFunc(order, func(x, y taken) int { return x.at - y.at })
		for _, k := range order {
			now.order += k.what
		}
		r.stages = append(r.stages, now)
	}
	return r
}

// atRestingLimit says whether a true pressure at rest lay so near to the limit for starting that one reading may be on either side: two SDs of a reading
// in one visit, 4.1 mmHg by row R12 of fidelity, and two marks of the gauge.
func atRestingLimit(b Rulebook, c *Course) bool {
	return slices.ContainsFunc(c.Cuffs, func(k CuffTake) bool {
		return k.Stage <= 0 && k.ToS <= c.PedalAtS && (math.Abs(float64(k.TrueSystolic-b.Screening.PostponeSBP)) <= 12 || math.Abs(float64(k.TrueDiastolic-b.Screening.PostponeDBP)) <= 12)
	})
}

// length is how long it was pedalled, in s.
func (r walked) length() (seconds int) {
	for _, s := range r.stages {
		seconds += s.seconds
	}
	return seconds
}

// decisionsOf are the loads and extensions of a walked and its end, in order.
func (r walked) decisionsOf() (list []string) {
	for i, s := range r.stages {
		list = append(list, fmt.Sprintf("%.0f", s.load))
		for range s.extended {
			list = append(list, "extended")
		}
		if i == len(r.stages)-1 {
			list = append(list, string(r.reason))
		}
	}
	return list
}

// Trial and session decide alike, one decision at a time: the same people, with all that is wrong with them, go through both. Each decision of each is
// worked by hand from the readings that it had; where the two part, their readings do.
func TestTrialDecidesAsTheSession(t *testing.T) {
	const seeds = 200
	book := Default()
	for _, id := range []string{"uneventful", "friday-nine", "sunday-nine", "thursday-eight", "monday-eleven", "monday-eight", "sunday-three"} {
		c, trial := mustCase(t, id), NewTrial(book, Count15)
		same, parted, tested, onlyOne, alike, later, ordered, n := 0, 0, 0, 0, 0, 0, 0, 0
		var long [2]int
		var off []float64
		why := map[[2]StopReason]int{}
		for seed := range scenarios.Seed(seeds) {
			sc := c.Draw(seed)
			played, err := Play(book, sc)
			if err != nil {
				t.Fatal(err)
			}
			course := ReadState(book, played.Session.State())
			trial.body.Reset(sc.Traits, sc.Day, sc.Case.Ills, sc.Stream("ill"), sc.Stream("noise"))
			r := trial.run(sc.Traits, sc.Artery, sc.Stream("fingers"), sc.Stream("cuff"))
			if !begun(course) || r.StopReason == StopNotTested {
				if begun(course) != (r.StopReason != StopNotTested) {
					if !atRestingLimit(book, course) {
						t.Errorf("%s seed %d: tested by one only, and no resting reading was near a limit", id, seed)
					}
					onlyOne++
				}
				continue
			}
			tested++
			a, b := walkedIn(book, course), trial.walkedBy(float64(sc.Traits.Age))
			for what, x := range map[string]walked{"session": a, "trial": b} {
				if faults := x.byHand(); len(faults) > 0 {
					t.Errorf("%s seed %d, %s: %v\n%+v", id, seed, what, faults, x)
				}
			}
			why[[2]StopReason{a.reason, b.reason}]++
			stopped, planned := a, b
			if b.reason.stopped() {
				stopped, planned = b, a
			}
			if a.reason.stopped() == b.reason.stopped() {
				alike++
			} else if stopped.length() > planned.length() {
				later++ // what stopped the one came after the planned end of the other
			}
			for i := range min(len(a.stages), len(b.stages)) - 1 { // the last may end anywhere
				long[0], long[1], n = long[0]+a.stages[i].seconds, long[1]+b.stages[i].seconds, n+1
				if list := b.stages[i].order; !strings.HasPrefix(list, "p") || strings.Count(list, "p") < 3 || strings.Count(list, "B") < 1 {
					t.Errorf("%s seed %d, trial: readings of stage %d in the order %s", id, seed, i+1, list)
				}
				if list := a.stages[i].order; !strings.HasPrefix(list, "p") || strings.Count(list, "p") < 3-a.stages[i].gaps || strings.Count(list, "B") < 1 {
					t.Errorf("%s seed %d, session: readings of stage %d in the order %s", id, seed, i+1, list)
				}
				if a.stages[i].order == b.stages[i].order {
					ordered++
				}
			}
			if slices.Equal(a.decisionsOf(), b.decisionsOf()) {
				same++
			} else {
				parted++
			}
			for i := range min(len(a.stages), len(b.stages)) {
				for m := range min(len(a.stages[i].minutes), len(b.stages[i].minutes)) {
					if a.stages[i].load == b.stages[i].load {
						off = append(off, b.stages[i].minutes[m]-a.stages[i].minutes[m])
					}
				}
			}
		}
		mean, sd := stat.MeanStdDev(off, nil)
		t.Logf("%s: %d tested by both, %d by one only; %d with the same decisions throughout, %d parted by their readings; %d end alike, stopped or planned, in %d the one had ended before what stopped the other: %v", id, tested, onlyOne, same, parted, alike, later, why)
		t.Logf("   a reading of the trial less that of the session: %+.2f ± %.1f bpm (%d); %d of %d stages with their readings in the same order; a stage lasts %d s in sessions, %d s in trials",
			mean, sd, len(off), ordered, n, long[0]/max(1, n), long[1]/max(1, n))
		if alike+later < tested*9/10 || math.Abs(mean) > 0.6 {
			t.Errorf("%s: of %d, %d end alike and %d before what stopped the other, readings apart by %.2f bpm", id, tested, alike, later, mean)
		}
	}
}
