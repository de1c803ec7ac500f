package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// work is one step inside a stage: what fits before the next count is due, the count, or the decision at the end.
func (v *sight) work() action {
	now, _ := v.stage()
	t := v.now - now.from
	seconds := v.book.Count.Seconds
	wanted := v.book.StageS/60 + now.extensions
	list := v.minutesOf(now.number)
	minute := v.nextMinute(list, t)
	if n := len(list); minute > wanted && (n == 0 || list[n-1].minute < wanted) {
		return v.count(seconds, "The count that the pressure displaced.")
	}
	if minute > wanted {
		return v.endOfStage(now, list)
	}
	begin := minute*60 - seconds - findPulseS
	free := begin - t
	if a, ok := v.writeReadings(); ok && free <= 0 && v.owesCount() {
		return a // the next count would take its place
	}
	if free <= 0 {
		return v.count(seconds, fmt.Sprintf("Pulse of minute %d.", minute))
	}
	if a, ok := v.writeReadings(); ok && free >= writeS {
		return a
	}
	// One look and one question in each minute of the stage, the person first.
	since := now.from + (t/60)*60 - lookSlack/3
	if free >= lookS && !v.lookedSince(since) {
		return do(exercises.Look, "", "Colour, breath, grip: once a minute.")
	}
	if free >= askS && !v.asked(since) {
		return do(exercises.Ask, "symptoms", "How does it feel: once a minute.")
	}
	if free >= checkS && !v.checkedSince("cadence", now.from) {
		return do(exercises.Check, "cadence", "The load is resistance times cadence.")
	}
	if rpm, ok := v.values["cadence_rpm"]; ok && free >= askS && v.lastAt[stepDone{exercises.Check, "cadence"}] >= now.from && len(v.coachedSince(now.from)) == 0 &&
		(rpm < float64(v.book.Cadence)-cadenceOff || rpm > float64(v.book.Cadence)+cadenceOff) {
		return do(exercises.Coach, "", fmt.Sprintf("%.0f rpm: off the rhythm.", rpm))
	}
	if free >= checkS && !v.checkedSince("dial", v.dialAt) {
		return do(exercises.Check, "dial", "The dial says what was set; only the scale says what is there.")
	}
	if v.pressureOwed(now) && t >= v.book.Pressure.FromS {
		// In the last minute it may run into the count's time, as long as the count still belongs to the mark.
		if takes := v.cuffTakes(); takes <= free || minute >= wanted && takes <= free+lateCountS {
			return v.inflate(fmt.Sprintf("Pressure of stage %d.", now.number))
		}
	}
	if minute >= wanted && free >= askS && !v.exertionIn(now.number) && !v.pressureOwed(now) {
		return do(exercises.Ask, "exertion", "A rating near the end of the stage.")
	}
	if next := 60 - t%60; next < free { // a new minute begins before: its look and its question are due
		return action{exercises.Command{Act: exercises.Wait, Seconds: next}, "The next minute's look is due first."}
	}
	return action{exercises.Command{Act: exercises.Wait, Seconds: free}, fmt.Sprintf("The count of minute %d begins at %s.", minute, clock(begin))}
}

// How long things take, in seconds, as a proctor plans them. Source: [CHOICE-DURATIONS].
const (
	writeS     = 2
	lookS      = 2
	askS       = 5
	checkS     = 3
	findPulseS = 2
)

// lateCountS is how many seconds late a last count may begin after a pressure.
const lateCountS = 36 // later it would belong to the next minute. Source: [CHOICE-PLAN].

// cadenceOff is how far the cadence may be off before the person is called back. Source: [CHOICE-CADENCE].
const cadenceOff = 3

// nextMinute is the next minute whose pulse can still be counted.
func (v *sight) nextMinute(list []sightCount, t int) int {
	minute := v.book.Count.First()
	if n := len(list); n > 0 {
		minute = list[n-1].minute + 1
	}
	// A mark that has passed by more than half a minute is lost: what is counted now belongs to the next one.
	for t+v.book.Count.Seconds/2 >= minute*60+30 {
		minute++
	}
	return minute
}

// cuffTakes is how many seconds the next pressure will take: as the last one, more by what is pumped higher.
func (v *sight) cuffTakes() int {
	top := v.pump()
	last := 60.0 // mmHg at which it is let go. Source: [CHOICE-PLAN].
	if n := len(v.cuffs); n > 0 && v.cuffs[n-1].readable {
		last = max(0, float64(v.cuffs[n-1].low)-4) // and what pressure wanders
	}
	return 3 + (top+24)/25 + int((float64(top)-last)/v.book.Pressure.ValveHigh) // placing, pumping, letting down. Source: [CHOICE-CUFF].
}

// pressureOwed says whether the stage still owes a pressure that can be read.
func (v *sight) pressureOwed(s sightStage) bool {
	if !pressureDue(v.book, s.number) {
		return false
	}
	tries := 0
	for _, k := range v.cuffs {
		if k.stage == s.number {
			tries++
			if k.readable {
				return false
			}
		}
	}
	return tries < 3 // then something is wrong with the cuff. Source: [CHOICE-PLAN].
}

func (v *sight) lookedSince(since int) bool {
	for _, l := range v.looks {
		if l >= since {
			return true
		}
	}
	return false
}

func (v *sight) checkedSince(what string, since int) bool {
	at, ok := v.lastAt[stepDone{exercises.Check, what}]
	return ok && at >= since
}

func (v *sight) coachedSince(since int) (list []int) {
	for _, c := range v.coached {
		if c >= since {
			list = append(list, c)
		}
	}
	return list
}

func (v *sight) exertionIn(stage int) bool {
	for _, e := range v.exertions {
		if e.stage == stage {
			return true
		}
	}
	return false
}

// freshS is how old a look may be when the load is changed, in seconds. Source: [CHOICE-LOOK].
const freshS = 20

// endOfStage does what is still owed, and then decides: a minute more, the next stage, or the end.
func (v *sight) endOfStage(now sightStage, list []sightCount) action {
	if !v.lookedSince(v.now - freshS) {
		return do(exercises.Look, "", "Before anything changes.")
	}
	if !v.asked(v.now - freshS) {
		return do(exercises.Ask, "symptoms", "Before anything changes.")
	}
	if !v.exertionIn(now.number) {
		return do(exercises.Ask, "exertion", "A rating before the load changes.")
	}
	for _, e := range v.exertions {
		if e.stage == now.number && e.rpe >= v.book.Stop.AskRPE && !v.asked(e.at) {
			return do(exercises.Ask, "symptoms", fmt.Sprintf("Exertion %d: ask before anything else.", e.rpe))
		}
	}
	if a, ok := v.writeReadings(); ok {
		return a
	}
	n := len(list)
	if n >= 2 && list[n-1].minute != list[n-2].minute+1 && now.extensions < v.book.MaxExtensions {
		return action{exercises.Command{Act: exercises.Extend}, "Two minutes in a row are needed to know whether the rate is steady."}
	}
	if oneMoreMinute(v.book, hrsOf(list), now.extensions) {
		return action{exercises.Command{Act: exercises.Extend}, fmt.Sprintf("%.0f, then %.0f bpm: not steady, one more minute.", list[n-2].hr, list[n-1].hr)}
	}
	if v.pressureOwed(now) {
		return v.inflate(fmt.Sprintf("Pressure of stage %d, at the same load.", now.number))
	}
	if a := v.answer(); a.Confidence == "two points or more" {
		return v.coolDownNow("Two steady stages lie in the window: the line can be drawn.")
	}
	next := now.number + 1
	due := v.nextLoad(next)
	if due.Resistance(v.book.Cadence) > instrument.MaxResistance {
		return v.coolDownNow("The brake goes no further.")
	}
	return action{exercises.Command{Act: exercises.Stage, ResistanceKp: float64(due.Resistance(v.book.Cadence))},
		fmt.Sprintf("Stage %d: %.0f kg·m/min.", next, due)}
}

// nextLoad is the load of the next stage in the column that stage 1 chose.
func (v *sight) nextLoad(stage int) unit.WorkRate {
	return loadAfter(v.book, hrsOf(v.minutesOf(1)), v.stages[len(v.stages)-1].resistance.WorkRate(v.book.Cadence), stage)
}

// hrsOf are the heart rates of the readings.
func hrsOf(list []sightCount) []unit.HR {
	hrs := make([]unit.HR, len(list))
	for i, m := range list {
		hrs[i] = m.hr
	}
	return hrs
}
