package grader

import (
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A stageCuff is the pressure of one stage and its repeat.
type stageCuff struct {
	trial  *Trial
	from   int
	before unit.Pressure // systolic of the stage before; 0 when none was read
	taken  int
	odd    bool
	done   bool
}

// owed says whether the stage still owes a pressure.
func (k *stageCuff) owed() bool { return !k.done }

// moved begins, reads or repeats the pressure, and says whether it ends the test.
func (k *stageCuff) moved() bool {
	t := k.trial
	switch {
	case k.done || t.listening || t.second < k.from+cuffFromS:
		return false
	case k.taken == 0:
		k.taken++
		t.inflate(t.pump())
		return false
	}
	s, ok := t.heardNow()
	switch {
	case beyondLimit(t.book, t.cuff.Top(), s.HeardAtOnce):
		t.result.StopReason = StopPressure
		return true
	case !ok && k.taken < 3:
		k.taken++
		t.inflate(float64(t.cuff.Top()) + pumpHigher)
		return false
	case !ok:
		k.done = true
		return false
	}
	t.readings = append(t.readings, trialReading{stage: len(t.stages), at: t.second, systolic: s.Systolic, diastolic: s.Diastolic})
	t.last, t.lastKp, t.worked = s, t.setting.Resistance, s.Systolic
	low := k.before > 0 && s.Systolic <= k.before-t.book.Stop.SystolicFall
	switch {
	case pressureTooHigh(t.book, s.Systolic, s.Diastolic), k.odd && fallConfirmed(t.book, s.Systolic, k.before, t.rest):
		t.result.StopReason = StopPressure
		return true
	case low && !k.odd:
		k.odd = true
		k.taken++
		t.inflate(t.pump())
		return false
	}
	k.done = true
	return false
}

// inflate begins a pressure.
func (t *Trial) inflate(pump float64) {
	pump = min(pump, float64(instrument.MaxPump))
	t.cuff.Start(t.heard, unit.Pressure(pump), t.book.Pressure.ValveHigh, time.Duration(t.second)*time.Second, t.setting.Pedalling,
		instrument.FittingCuff(t.arm), t.arm)
	since := -1
	if t.cuffDown >= 0 {
		since = t.second - t.cuffDown
	}
	t.cuff.Over(t.artery, since)
	t.listening = true
}

// pump is how high to pump: above the last systolic, more for a load that was turned up since.
func (t *Trial) pump() float64 {
	if t.last.Systolic == 0 {
		return pumpAtRest
	}
	watts := (t.setting.Resistance - t.lastKp).WorkRate(t.book.Cadence).Watts()
	return float64(t.last.Systolic) + pumpAbove + float64(pumpPerWatt*max(0, watts))
}

// heardNow is what the cuff that has come down tells; ok is false when it must be pumped higher.
func (t *Trial) heardNow() (s instrument.Sounds, ok bool) {
	s = instrument.ReadSounds(t.cuff.Top(), t.book.Pressure.ValveHigh, t.cuff.Heard())
	return s, s.Any && !s.HeardAtOnce && s.Systolic-s.Diastolic >= leastPulse && s.Systolic <= unit.Pressure(t.cuff.Top())-leastAbove
}

// pressure takes one at rest, again and higher when it cannot be read.
func (t *Trial) pressure() {
	pump := t.pump()
	for range 3 {
		t.inflate(pump)
		for s := 0; t.listening && s < 2*mostCuffS; s++ {
			t.step()
		}
		t.listening = false
		if s, ok := t.heardNow(); ok {
			t.last, t.lastKp = s, t.setting.Resistance
			return
		}
		pump += pumpHigher
	}
}
