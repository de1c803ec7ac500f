package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// urgent is what comes before any measuring while the person works: signs, words, limits.
func (v *sight) urgent() (action, bool) {
	if s, ok := v.signOf(isEmergency, v.pedalAt); ok {
		return do(exercises.Stop, "", fmt.Sprintf("“%s” — a sign that ends the test at once.", brief(s.words))), true
	}
	if !v.state.Pedalling {
		return do(exercises.Stop, "", "The legs have stopped: the test is over."), true
	}
	if _, ok := v.signOf(asksToStop, v.pedalAt); ok {
		return v.coolDownNow("The person asked to stop."), true
	}
	if s, ok := v.signOf(func(s body.Sign, _ int) bool { return s == body.CadenceLost }, v.pedalAt); ok {
		if len(v.coached) == 0 {
			return do(exercises.Coach, "", "The rhythm is lost: ask for it once."), true
		}
		// Still lost after one reminder and the time that the house gives.
		if again, still := v.lastSign(body.CadenceLost); still && again.at >= v.coached[0]+v.book.Stop.CadenceLostS {
			return v.coolDownNow(fmt.Sprintf("“%s” — the rhythm did not come back.", brief(s.words))), true
		}
	}
	if s, ok := v.signOf(func(s body.Sign, grade int) bool { return isEnd(s, grade) && s != body.CadenceLost }, v.pedalAt); ok {
		return v.coolDownNow(fmt.Sprintf("“%s” — a sign that ends the test in good order.", brief(s.words))), true
	}
	if a, ok := v.pressureDuty(); ok {
		return a, true
	}
	if a, ok := v.brakeDuty(); ok {
		return a, true
	}
	if a, ok := v.pulseDuty(); ok {
		return a, true
	}
	if hr, ok := v.overCeiling(); ok {
		return v.coolDownNow(fmt.Sprintf("%.0f bpm: the ceiling is %.1f bpm.", hr, v.ceiling())), true
	}
	for _, e := range v.exertions {
		if e.stage > 0 && e.rpe > v.book.Stop.AskRPE || e.stage > 0 && e.rpe == v.book.Stop.AskRPE && v.asked(e.at) {
			return v.coolDownNow(fmt.Sprintf("Exertion %d: a submaximal test ends here.", e.rpe)), true
		}
	}
	return action{}, false
}

// coolDownNow ends the test in good order.
func (v *sight) coolDownNow(why string) action {
	if !v.state.Pedalling { // the legs have stopped of their own accord
		return do(exercises.Stop, "", why)
	}
	return action{exercises.Command{Act: exercises.CoolDown, ResistanceKp: float64(v.book.CoolDown.MaxResistance)}, why}
}

// lastSign is the last time that one sign was met.
func (v *sight) lastSign(sign body.Sign) (last sightSign, ok bool) {
	for _, s := range v.signs {
		if s.sign == sign {
			last, ok = s, true
		}
	}
	return last, ok
}

// asked says whether symptoms were asked for since a second.
func (v *sight) asked(since int) bool {
	for _, q := range v.questions {
		if q >= since {
			return true
		}
	}
	return false
}

// overCeiling is the first reading of the test at or above the ceiling.
func (v *sight) overCeiling() (unit.HR, bool) {
	ceiling := v.ceiling()
	for _, s := range v.stages {
		var before unit.HR
		for _, m := range v.minutesOf(s.number) {
			if ceiling > 0 && protocol.AtCeiling(v.book.Rules, m.hr, ceiling, before > 0 && steadyPair(v.book, before, m.hr)) {
				return m.hr, true
			}
			before = m.hr
		}
	}
	return 0, false
}

// pressureDuty verifies an unexpected pressure at once and acts on what the repeat shows.
func (v *sight) pressureDuty() (action, bool) {
	now, ok := v.stage()
	if !ok {
		return action{}, false
	}
	before, known := v.cuffBefore(now.number)
	rest, _ := v.cuffOf(0) // 0 when none was read
	low := func(k sightCuff) bool {
		return known && k.sounds.Systolic <= before.sounds.Systolic-v.book.Stop.SystolicFall
	}
	high := func(k sightCuff) bool {
		return pressureTooHigh(v.book, k.sounds.Systolic, k.sounds.Diastolic)
	}
	odd := 0
	for _, k := range v.cuffs {
		if k.stage == now.number && !k.cut && beyondLimit(v.book, k.top, k.sounds.HeardAtOnce) {
			return v.coolDownNow(fmt.Sprintf("Sounds at once from %d mmHg: above the limit.", k.top)), true
		}
		if k.stage != now.number || !k.readable {
			continue
		}
		switch {
		case high(k):
			return v.coolDownNow(fmt.Sprintf("%.0f/%.0f mmHg: above the limit.", k.sounds.Systolic, k.sounds.Diastolic)), true
		case odd == 1 && known && fallConfirmed(v.book, k.sounds.Systolic, before.sounds.Systolic, rest.sounds.Systolic):
			return v.coolDownNow(fmt.Sprintf("The repeat gave %.0f mmHg, after %.0f in the stage before: the fall is confirmed.",
				k.sounds.Systolic, before.sounds.Systolic)), true
		case odd == 1:
			odd = 2 // not confirmed
		case odd == 0 && low(k):
			odd = 1
		}
	}
	if odd == 1 {
		if a, ok := v.writeReadings(); ok {
			return a, true
		}
		return v.inflate(fmt.Sprintf("Systolic far below the %.0f mmHg of the stage before: repeat at once.", before.sounds.Systolic)), true
	}
	return action{}, false
}

// brakeDuty sets a load again that the brake no longer holds, and ends the test when it falls again.
func (v *sight) brakeDuty() (action, bool) {
	at := v.lastAt[stepDone{exercises.Check, "dial"}]
	read, known := v.values["dial_kp"]
	if _, ok := v.stage(); !ok || !known || at < v.dialAt || !brakeGaveWay(unit.Resistance(v.dial), read) {
		return action{}, false
	}
	if v.brakeFailed() {
		return v.coolDownNow(fmt.Sprintf("%s kp on the scale again: the brake does not hold, and a test on it says nothing.", number(read, 1))), true
	}
	return action{exercises.Command{Act: exercises.Resistance, ResistanceKp: v.dial},
		fmt.Sprintf("The scale stands at %s kp, the dial at %s: set the load again.", number(read, 1), number(v.dial, 2))}, true
}

// brakeFailed says whether the load had been set again in the last stage and the scale still stands too low.
func (v *sight) brakeFailed() bool {
	n := len(v.stages)
	at := v.lastAt[stepDone{exercises.Check, "dial"}]
	read, known := v.values["dial_kp"]
	return n > 0 && known && v.stages[n-1].changed && at >= v.dialAt && at >= v.stages[n-1].from && brakeGaveWay(v.stages[n-1].resistance, read)
}

// pulseDuty feels a doubtful pulse again at once, for longer, and acts on what that shows.
func (v *sight) pulseDuty() (action, bool) {
	now, ok := v.stage()
	if !ok {
		return action{}, false
	}
	for _, cause := range []string{unevenPulse, flatRate} {
		doubt, settled, confirmed := v.doubtIn(now.number, cause)
		switch {
		case doubt == nil:
		case settled == nil:
			if a, ok := v.writeReadings(); ok {
				return a, true
			}
			return v.count(verifyingCountS, doubt.why(cause)+fmt.Sprintf(": feel again for %d s, at the same load.", verifyingCountS)), true
		case confirmed:
			return v.coolDownNow(settled.why(cause) + ": confirmed."), true
		}
	}
	return action{}, false
}

// why says what is odd about a count.
func (k sightCount) why(cause string) string {
	if cause == unevenPulse {
		return fmt.Sprintf("%d gaps in %d s do not fit the others", k.odd, k.seconds)
	}
	return fmt.Sprintf("%.0f bpm, hardly more than at the load before", k.hr)
}

// doubtIn is the first doubtful count of a stage and the longer one that settled it; nil where there is none.
func (v *sight) doubtIn(stage int, cause string) (doubt, settled *sightCount, confirmed bool) {
	var in []*sightCount
	var felt []feltPulse
	var before unit.HR
	for i := range v.counts {
		switch k := &v.counts[i]; {
		case k.cut || k.beats == 0:
		case k.stage == stage:
			in, felt = append(in, k), append(felt, k.felt())
		case k.stage > 0 && k.stage < stage:
			before = k.hr // the last of the stage before that has any
		}
	}
	asks := asksAgain(v.book, cause, before)
	first, then := firstDoubt(felt, asks)
	if first >= 0 {
		doubt = in[first]
	}
	if then >= 0 {
		settled, confirmed = in[then], asks(felt[then])
	}
	return doubt, settled, confirmed
}

// cuffBefore is the last readable pressure of an earlier stage.
func (v *sight) cuffBefore(stage int) (last sightCuff, ok bool) {
	for _, k := range v.cuffs {
		if k.readable && k.stage > 0 && k.stage < stage {
			last, ok = k, true
		}
	}
	return last, ok
}
