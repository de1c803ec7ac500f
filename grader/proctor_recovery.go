package grader

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/body"
)

// recovery watches the person until they may go.
func (v *sight) recovery() action {
	t := v.now - v.endedAt
	danger, bad := v.signOf(isEmergency, v.pedalAt)
	_, confirmed := v.confirmedFall()
	confirmed = confirmed || v.confirmedPulse()
	if v.state.Pedalling && (bad || t >= v.book.CoolDown.ActiveS) {
		return do(exercises.Stop, "", "The active part is over: pedals still, then the chair.")
	}
	if bad {
		if a, ok := v.lookAfter(danger.sign); ok {
			return a
		}
	}
	if (bad || confirmed) && !v.calledHelp() {
		whom := "instructor"
		if bad && danger.grade >= 3 {
			whom = "ambulance"
		}
		return do(exercises.Call, whom, "One person cannot hold, measure and telephone: call and stay.")
	}
	if bad && !v.did(exercises.Call, "defibrillator") {
		return do(exercises.Call, "defibrillator", "To the side, in case it is needed.")
	}
	if !bad && !v.state.Pedalling && v.where == "cycle" {
		return do(exercises.Seat, "chair", "The rest of the watch is seated.")
	}
	if a, ok := v.writeReadings(); ok {
		return a
	}
	last := v.lastRecoveryCuff()
	since := max(v.endedAt, danger.at) // what is known from before the danger says nothing of it
	if n := len(v.counts); bad && (n == 0 || v.counts[n-1].to < since) {
		return v.count(v.book.Count.Seconds, "The pulse at once: fast, slow, even?")
	}
	list := v.minutesOf(exercises.RecoveryStage)
	minute := v.nextMinute(list, t)
	free := minute*60 - v.book.Count.Seconds - findPulseS - t
	if free <= 0 {
		return v.count(v.book.Count.Seconds, fmt.Sprintf("Pulse of recovery minute %d.", minute))
	}
	if bad && last < since || confirmed && last < 0 && t < 150 && len(list) > 0 && free >= 20 {
		return v.inflate("The first pressure after the stop.")
	}
	minuteFrom := v.endedAt + (t/60)*60 - 5
	if free >= lookS && !v.lookedSince(minuteFrom) {
		return do(exercises.Look, "", "Late faints come in recovery.")
	}
	if free >= askS && !v.asked(minuteFrom) {
		return do(exercises.Ask, "symptoms", "How do they feel now.")
	}
	if watch := v.book.CoolDown.WatchS; t >= watch-2 {
		if last < 0 || v.now-last > recuffS {
			return v.inflate("Pressure at the end of the watch.")
		}
		if why, ok := v.mayGo(); ok && t >= watch {
			return v.farewell(why)
		}
		if v.calledHelp() && (bad || t >= longWatch) {
			return v.farewell("Handed over to those who were called.")
		}
		if t >= longWatch {
			return do(exercises.Call, "instructor", "The values do not come back.")
		}
	}
	return action{exercises.Command{Act: exercises.Wait, Seconds: free}, "Watch the recovery."}
}

// lookAfter brings a person in danger off the cycle: held, and to the place that fits.
func (v *sight) lookAfter(sign body.Sign) (action, bool) {
	fit := placesFor(sign)
	if slices.Contains(fit, v.where) {
		return action{}, false
	}
	if v.where == "cycle" && v.lastAt[stepDone{exercises.Steady, ""}] < v.endedAt {
		return do(exercises.Steady, "", "Most are hurt by the fall: hold the person first."), true
	}
	return do(exercises.Seat, fit[0], "Off the cycle, to the place that fits."), true
}

// calledHelp says whether somebody is on the way.
func (v *sight) calledHelp() bool {
	return v.did(exercises.Call, "instructor") || v.did(exercises.Call, "ambulance")
}

// farewell says what is to be said before the person goes, and lets them go.
func (v *sight) farewell(why string) action {
	_, danger := v.signOf(isEmergency, v.pedalAt)
	if danger && !v.wrote(exercises.KeyHandOver) {
		return write("One sentence to those who take over.", exercises.Entry{Key: exercises.KeyHandOver, Text: v.sentence()})
	}
	what, say := "result", "A number, how sure it is, and that it is no diagnosis."
	if danger || v.oddReading() {
		what, say = "doctor", "What was odd today is for the person's own doctor to see."
	}
	if !v.did(exercises.Tell, what) {
		return do(exercises.Tell, what, say)
	}
	return do(exercises.Release, "", why)
}

// oddReading says whether the test ended for a reading that is for a doctor to see.
func (v *sight) oddReading() bool {
	if _, fell := v.confirmedFall(); fell || v.confirmedPulse() {
		return true
	}
	for _, k := range v.cuffs {
		if k.stage > 0 && (k.readable && pressureTooHigh(v.book, k.sounds.Systolic, k.sounds.Diastolic) || !k.cut && beyondLimit(v.book, k.top, k.sounds.HeardAtOnce)) {
			return true
		}
	}
	return false
}

// sentence is the hand-over: what, when, what was done, the last values.
func (v *sight) sentence() string {
	s, _ := v.signOf(isEmergency, v.pedalAt)
	text := fmt.Sprintf("%s at %s; stopped, looked after since", strings.ReplaceAll(string(s.sign), "_", " "), clock(s.at))
	if n := len(v.counts); n > 0 {
		text += fmt.Sprintf("; last pulse %.0f", v.counts[n-1].hr)
	}
	if n := len(v.cuffs); n > 0 && v.cuffs[n-1].readable {
		text += ", pressure " + v.cuffs[n-1].sounds.String()
	}
	return text
}

// recuffS is after how many seconds a pressure of the recovery is taken again. Source: [WSU].
const recuffS = 100

// longWatch is after how many seconds a recovery that does not end is handed to somebody else. Source: [CHOICE-RELEASE].
const longWatch = 1200

// lastRecoveryCuff is the second of the last pressure after the end, −1 when there was none.
func (v *sight) lastRecoveryCuff() int {
	at := -1
	for _, k := range v.cuffs {
		if k.stage == exercises.RecoveryStage && k.readable {
			at = k.to
		}
	}
	return at
}

// confirmedFall is the first fall of pressure that a repeat confirmed; ok is false when there was none.
func (v *sight) confirmedFall() (sightCuff, bool) {
	rest, rested := v.cuffOf(0)
	for _, s := range v.stages {
		before, known := v.cuffBefore(s.number)
		low := 0
		for _, k := range v.cuffs {
			if !known || !k.readable || k.stage != s.number {
				continue
			}
			under := k.sounds.Systolic <= before.sounds.Systolic-v.book.Stop.SystolicFall
			if !under && (low == 0 || !rested || k.sounds.Systolic >= rest.sounds.Systolic) {
				low = 0
				continue
			}
			if low++; low == 2 {
				return k, true
			}
		}
	}
	return sightCuff{}, false
}

// confirmedPulse says whether a doubt about the pulse was confirmed.
func (v *sight) confirmedPulse() bool {
	for _, s := range v.stages {
		_, _, uneven := v.doubtIn(s.number, unevenPulse)
		_, _, flat := v.doubtIn(s.number, flatRate)
		if uneven || flat {
			return true
		}
	}
	return false
}

// mayGo says whether the last values are within the limits and the person feels well.
func (v *sight) mayGo() (string, bool) {
	var hr, sys, dia float64
	for _, k := range v.counts {
		if k.stage == exercises.RecoveryStage && !k.cut {
			hr = float64(k.hr)
		}
	}
	for _, k := range v.cuffs {
		if k.stage == exercises.RecoveryStage && k.readable {
			sys, dia = float64(k.sounds.Systolic), float64(k.sounds.Diastolic)
		}
	}
	if hr == 0 || sys == 0 || hr > float64(v.book.CoolDown.ReleaseHR) || sys >= float64(v.book.Screening.PostponeSBP) || dia >= float64(v.book.Screening.PostponeDBP) {
		return "", false
	}
	if s, ok := v.signOf(func(body.Sign, int) bool { return true }, v.now-130); ok {
		return s.words, false
	}
	return fmt.Sprintf("%.0f bpm and %.0f/%.0f mmHg, and no complaint.", hr, sys, dia), true
}
