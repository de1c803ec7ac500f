package grader

import (
	"fmt"
	"math"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// prepare is everything before the first turn of the pedals, in the order of a lab.
func (v *sight) prepare() action {
	for _, step := range []struct {
		act       exercises.Act
		what, why string
	}{
		{exercises.Check, "brake", "The brake must read zero with the belt slack."},
		{exercises.Check, "metronome", "The metronome must run true."},
		{exercises.Check, "plan", "Know whom to call before somebody must be called."},
		{exercises.Greet, "", "The person comes in."},
		{exercises.Explain, "test", "The person must know what is coming."},
		{exercises.Explain, "scale", "A rating needs a scale that is understood."},
		{exercises.Explain, "signals", "The person must know how to stop the test."},
		{exercises.Ask, "health", "Health questions come before any decision."},
	} {
		if !v.did(step.act, step.what) {
			return do(step.act, step.what, step.why)
		}
	}
	if v.flagged != "" && v.decided != "test" {
		return v.decide("refer", fmt.Sprintf("“%s” — this needs a physician's word first.", brief(v.flagged)))
	}
	if !v.did(exercises.Ask, "consent") {
		return do(exercises.Ask, "consent", "No work without consent.")
	}
	for _, step := range []struct{ what, value, why string }{
		{"mass", "mass_kg", "The estimate is for each kilogram."},
		{"height", "height_cm", "For the sheet."},
		{"arm", "arm_cm", "The cuff goes by the girth of the arm."},
	} {
		if _, known := v.values[step.value]; !known {
			return do(exercises.Measure, step.what, step.why)
		}
	}
	if fit := string(instrument.FittingCuff(unit.Girth(v.values["arm_cm"]))); !v.did(exercises.Cuff, fit) {
		return do(exercises.Cuff, fit, fmt.Sprintf("The arm measures %.1f cm.", v.values["arm_cm"]))
	}
	if a, ok := v.saddle(); ok {
		return a
	}
	if a, ok := v.rest(); ok {
		return a
	}
	if a, ok := v.baseline(); ok {
		return a
	}
	if a, ok := v.writePerson(); ok {
		return a
	}
	if v.metronome != float64(v.book.Cadence) {
		return action{exercises.Command{Act: exercises.Metronome, CadenceRPM: float64(v.book.Cadence)}, "The rhythm of the test."}
	}
	if v.dial != 0 {
		return action{exercises.Command{Act: exercises.Resistance}, "The warm-up has no load."}
	}
	return do(exercises.Pedal, "", "All is ready: warm up without load.")
}

// saddle sets the saddle by the bend of the knee.
func (v *sight) saddle() (action, bool) {
	knee, looked := v.values["knee_deg"]
	switch {
	case !looked:
		if v.where != "cycle" {
			return do(exercises.Seat, "cycle", "To set the saddle."), true
		}
		return do(exercises.Saddle, "", "Look at the knee at the lowest point."), true
	case knee > kneeHigh:
		return do(exercises.Saddle, "up", fmt.Sprintf("The knee is bent %.0f°: too low.", knee)), true
	case knee < kneeLow:
		return do(exercises.Saddle, "down", fmt.Sprintf("The knee is bent %.0f°: too high.", knee)), true
	}
	return action{}, false
}

// rest takes the resting readings in the chair, repeats what is high, and decides.
func (v *sight) rest() (action, bool) {
	if v.decided == "test" {
		return action{}, false
	}
	if v.where != "chair" {
		return do(exercises.Seat, "chair", "Resting values are taken in the chair."), true
	}
	seated := v.lastAt[stepDone{exercises.Seat, "chair"}]
	counts, cuffs := v.restingSince(seated)
	if v.now-seated < v.book.Screening.RestS && len(counts) == 0 {
		return action{exercises.Command{Act: exercises.Rest, Seconds: v.book.Screening.RestS - (v.now - seated)}, "Five minutes of quiet before resting values."}, true
	}
	if a, ok := v.writeReadings(); ok {
		return a, true
	}
	if len(counts) == 0 {
		return v.count(restingCountS, "The resting pulse."), true
	}
	if len(cuffs) == 0 || !cuffs[len(cuffs)-1].readable {
		return v.inflate("The resting pressure."), true
	}
	highPulse := counts[len(counts)-1].hr > v.book.Screening.PostponeHR
	last := cuffs[len(cuffs)-1]
	highPressure, refusing := v.restLevel(last)
	if v.book.Screening.RepeatWhenHigh && (highPulse && len(counts) == 1 || highPressure && v.highIn(cuffs) == 1) {
		first := counts[0].to
		if highPressure && !(highPulse && len(counts) == 1) {
			first = last.to
		}
		if wait := v.book.Screening.RepeatAfterS - (v.now - first); wait > 0 {
			return action{exercises.Command{Act: exercises.Rest, Seconds: wait}, "A high value is repeated after more rest."}, true
		}
		if highPulse && len(counts) == 1 {
			return v.count(restingCountS, "The second resting pulse."), true
		}
		return v.inflate("The second resting pressure."), true
	}
	if a, ok := v.settleUneven(counts); ok {
		return a, true
	}
	switch {
	case refusing:
		return v.decide("refuse", fmt.Sprintf("%.0f/%.0f mmHg at rest, twice.", last.sounds.Systolic, last.sounds.Diastolic)), true
	case highPressure:
		return v.decide("postpone", fmt.Sprintf("%.0f/%.0f mmHg at rest after a repeat.", last.sounds.Systolic, last.sounds.Diastolic)), true
	case highPulse:
		return v.decide("postpone", fmt.Sprintf("%.0f bpm at rest after a repeat.", counts[len(counts)-1].hr)), true
	}
	return v.decide("test", "The answers and the resting values allow it."), true
}

// restingCountS is how long the pulse is counted at rest, where there is time for a finer number. Source: [PRACTICE-REST-COUNT].
const restingCountS = 30

// settleUneven feels an uneven resting pulse again for a whole minute, after more rest, and refers the person when it stays so.
func (v *sight) settleUneven(counts []sightCount) (action, bool) {
	k := counts[len(counts)-1]
	if !k.felt().uneven(v.book.Screening.OddBeats) {
		return action{}, false
	}
	if !v.book.Screening.RepeatWhenHigh || k.seconds >= 60 {
		return v.decide("refer", fmt.Sprintf("%d odd gaps in %d s at rest: this needs a physician's word first.", k.odd, k.seconds)), true
	}
	if wait := v.book.Screening.RepeatAfterS - (v.now - k.to); wait > 0 {
		return action{exercises.Command{Act: exercises.Rest, Seconds: wait}, "An uneven pulse is felt again after more rest."}, true
	}
	return v.count(60, "An uneven pulse is felt for a whole minute."), true
}

// restLevel says what a resting pressure asks for.
func (v *sight) restLevel(k sightCuff) (high, refusing bool) {
	s := v.book.Screening
	refusing = k.sounds.Systolic > s.RefuseSBP || k.sounds.Diastolic > s.RefuseDBP
	return refusing || k.sounds.Systolic >= s.PostponeSBP || k.sounds.Diastolic >= s.PostponeDBP, refusing
}

// highIn is how many of the pressures are at the resting limit or beyond.
func (v *sight) highIn(cuffs []sightCuff) int {
	n := 0
	for _, k := range cuffs {
		if high, _ := v.restLevel(k); high && k.readable {
			n++
		}
	}
	return n
}

// restingSince are the readings since a second, before pedalling.
func (v *sight) restingSince(since int) (counts []sightCount, cuffs []sightCuff) {
	for _, k := range v.counts {
		if k.from >= since && !k.cut && k.beats > 0 {
			counts = append(counts, k)
		}
	}
	for _, k := range v.cuffs {
		if k.from >= since && !k.cut {
			cuffs = append(cuffs, k)
		}
	}
	return counts, cuffs
}

func (v *sight) decide(what, why string) action { return do(exercises.Decide, what, why) }

// baseline takes pulse and pressure on the cycle, in the posture of the test.
func (v *sight) baseline() (action, bool) {
	if v.where != "cycle" {
		return do(exercises.Seat, "cycle", "The baseline is taken in the posture of the test."), true
	}
	if a, ok := v.writeReadings(); ok {
		return a, true
	}
	counts, cuffs := v.restingSince(v.lastAt[stepDone{exercises.Seat, "cycle"}])
	if len(counts) == 0 {
		return v.count(v.book.Count.Seconds, "Baseline pulse on the cycle."), true
	}
	if len(cuffs) == 0 || !cuffs[len(cuffs)-1].readable {
		return v.inflate("Baseline pressure on the cycle."), true
	}
	// A baseline beyond the limits is a resting value like any other: repeat it, then decide anew.
	last := cuffs[len(cuffs)-1]
	if high, refusing := v.restLevel(last); high {
		switch {
		case v.book.Screening.RepeatWhenHigh && v.highIn(cuffs) == 1:
			if wait := v.book.Screening.RepeatAfterS - (v.now - last.to); wait > 0 {
				return action{exercises.Command{Act: exercises.Rest, Seconds: wait}, "A high value is repeated after more rest."}, true
			}
			return v.inflate("The second baseline pressure."), true
		case refusing:
			return v.decide("refuse", "The baseline stays far too high."), true
		}
		return v.decide("postpone", "The baseline stays at the limit or above."), true
	}
	if k := counts[len(counts)-1]; k.hr > v.book.Screening.PostponeHR {
		if v.book.Screening.RepeatWhenHigh && len(counts) == 1 {
			if wait := v.book.Screening.RepeatAfterS - (v.now - k.to); wait > 0 {
				return action{exercises.Command{Act: exercises.Rest, Seconds: wait}, "A high value is repeated after more rest."}, true
			}
			return v.count(restingCountS, "The second baseline pulse."), true
		}
		return v.decide("postpone", "The pulse on the cycle stays above the limit."), true
	}
	return v.settleUneven(counts)
}

// warmUp lets the person pedal without load until the warm-up is over, and then begins stage 1.
func (v *sight) warmUp() action {
	left := v.pedalAt + v.book.WarmUpS - v.now
	if left > 0 {
		return action{exercises.Command{Act: exercises.Wait, Seconds: left}, "The warm-up settles rhythm and nerves."}
	}
	kp := float64(v.book.FirstWorkRate.Resistance(v.book.Cadence))
	return action{exercises.Command{Act: exercises.Stage, ResistanceKp: kp}, fmt.Sprintf("Stage 1: %.0f kg·m/min.", v.book.FirstWorkRate)}
}

// count takes the pulse by the clock.
func (v *sight) count(seconds int, why string) action {
	return action{exercises.Command{Act: exercises.Count, Seconds: seconds}, why}
}

// inflate takes a pressure: above the last systolic, higher with each step of the load, and higher still when sounds were heard at once.
func (v *sight) inflate(why string) action {
	return action{exercises.Command{Act: exercises.Pressure, PumpMmHg: v.pump(), ValveMmHgS: v.book.Pressure.ValveHigh}, why}
}

// Inflations of a proctor who knows only the last reading, in mmHg. Source: [PHRE1033], [GAP], [PRACTICE-PUMP].
const (
	pumpAtRest  = 180
	pumpAbove   = 26  // above the last systolic
	pumpHigher  = 40  // when sounds were heard at once
	pumpPerWatt = 0.4 // for a load that was turned up since
)

func (v *sight) pump() int {
	top := float64(pumpAtRest)
	if n := len(v.cuffs); n > 0 {
		last := v.cuffs[n-1]
		if last.readable {
			top = float64(last.sounds.Systolic) + pumpAbove
			if now, ok := v.stage(); ok && now.number == last.stage {
				top = max(top, float64(last.top)) // a doubtful low one says nothing of where the sounds begin
			}
		} else if top = float64(last.top); !last.cut {
			top += float64(v.book.Pressure.PumpAbove) // where the sounds begin is not known
		}
		if last.sounds.HeardAtOnce || last.sounds.Any && last.sounds.Systolic > unit.Pressure(last.top)-leastAbove {
			top = float64(last.top) + pumpHigher
		} else if now, ok := v.stage(); ok && now.number > last.stage {
			was := unit.Resistance(0)
			for _, s := range v.stages {
				if s.number == last.stage {
					was = s.resistance
				}
			}
			watts := (now.resistance - was).WorkRate(v.book.Cadence).Watts()
			top += float64(pumpPerWatt * max(0, watts))
		}
	}
	return min(int(math.Ceil(top/2))*2, instrument.MaxPump)
}

// writePerson writes what is worked out beforehand.
func (v *sight) writePerson() (action, bool) {
	if v.wrote(exercises.KeyCeiling) {
		return action{}, false
	}
	who := v.person()
	most, err := protocol.PredictedMaxHR(v.book.MaxHR, who.Sex, who.Age)
	if err != nil {
		return action{}, false
	}
	ceiling := protocol.Ceiling(v.book.Rules, most, who.RestHR)
	inCount := func(hr unit.HR) string { return number(float64(hr)*float64(v.book.Count.Seconds)/60, 1) }
	bands := ""
	for _, b := range v.book.Bands {
		if edge := max(b.Below, b.UpTo); edge > 0 {
			if bands != "" {
				bands += " "
			}
			bands += inCount(edge)
		}
	}
	return write("What must not be worked out on the run.",
		exercises.Entry{Key: exercises.KeyAge, Text: number(float64(who.Age), 0)},
		exercises.Entry{Key: exercises.KeyMass, Text: number(v.values["mass_kg"], 1)},
		exercises.Entry{Key: exercises.KeyHeight, Text: number(v.values["height_cm"], 1)},
		exercises.Entry{Key: exercises.KeyArm, Text: number(v.values["arm_cm"], 1)},
		exercises.Entry{Key: exercises.KeyMaxHR, Text: number(float64(most), 1)},
		exercises.Entry{Key: exercises.KeyCeiling, Text: number(float64(ceiling), 2)},
		exercises.Entry{Key: exercises.KeyCeilingCount, Text: inCount(ceiling)},
		exercises.Entry{Key: exercises.KeyBandCounts, Text: bands},
	), true
}
