package protocol

import (
	"fmt"
	"math"
	"slices"

	"kilopond/physiology/unit"
)

// A Flaw is a setting that cannot work, with its dotted path.
type Flaw struct{ Path, Message string }

// Check returns everything in the rules that cannot work, with the numbers that show it.
func (r Rules) Check() []Flaw {
	var f flaws
	f.all(r)
	return f.found
}

// A Bound is what one setting may be whatever the others are: a number from Low to High, or one of OneOf.
type Bound struct {
	Low, High float64
	OneOf     []any
}

// Bounds returns them by path, for whoever writes a rulebook in an editor.
func Bounds() map[string]Bound {
	f := flaws{bounds: map[string]Bound{}}
	f.all(Default())
	delete(f.bounds, "ceiling.fraction") // 0 where the ceiling is a fixed rate
	return f.bounds
}

// all notes every flaw, and every bound when they are wanted.
func (f *flaws) all(r Rules) {
	f.bands(r)
	oneOf(f, "steady", r.Steady, SteadyRules())
	oneOf(f, "stage_hr", r.StageHR, StageHRRules())
	oneOf(f, "branch_hr", r.BranchHR, StageHRRules())
	oneOf(f, "max_hr", r.MaxHR, MaxHREquations())
	oneOf(f, "end", r.End, EndRules())
	oneOf(f, "fit", r.Fit, Fits())
	oneOf(f, "o2_cost", r.O2Cost, O2Costs())
	oneOf(f, "one_point", r.OnePoint, []OnePointRule{SingleStageValue, NoSingleStage})
	oneOf(f, "window_high", r.WindowHigh, []WindowHighRule{WindowCeiling, WindowFixed150})
	oneOf(f, "ceiling.of", r.Ceiling.Of, []string{"max_hr", "reserve", "fixed"})
	oneOf(f, "count.first_beat", r.Count.FirstBeat, []string{"zero", "one"})
	oneOf(f, "count.seconds", r.Count.Seconds, []int{10, 15, 30})
	oneOf(f, "pressure.diastolic_phase", r.Pressure.DiastolicPhase, []string{"V", "IV", "both"})
	oneOf(f, "crew", r.Crew, []string{"solo", "pulse_helper", "pressure_helper", "both"})
	oneOf(f, "norms", r.Norms, NormNames())

	f.between("first_work_rate_kgm_min", float64(r.FirstWorkRate), 50, 600)
	f.between("step_after_table_kgm_min", float64(r.StepAfterTable), 25, 600)
	f.between("cadence_rpm", float64(r.Cadence), 40, 90)
	f.between("warm_up_s", float64(r.WarmUpS), 0, 600)
	f.between("stage_s", float64(r.StageS), 120, 600)
	f.between("extension_s", float64(r.ExtensionS), 30, 180)
	f.between("max_extensions", float64(r.MaxExtensions), 0, 10)
	f.between("window_low_bpm", float64(r.WindowLow), 80, 140)
	f.between("qualifying_stages", float64(r.StagesNeeded), 2, 4)
	f.between("smallest_rise_bpm", float64(r.SmallestRise), 0, 20)
	f.between("kgm_min_per_w", r.KgmMinPerWatt, 5.9, 6.3)
	f.between("error_range_percent", r.ErrorRange, 0, 50)
	f.between("count.every_minutes", float64(r.Count.Every), 1, 3)
	f.between("count.from_minute", float64(r.Count.From), 0, 2)
	f.between("pressure.every_stages", float64(r.Pressure.EveryStages), 1, 3)
	f.between("stop.systolic_fall_mmhg", float64(r.Stop.SystolicFall), 5, 40)
	f.between("stop.odd_beats_per_min", r.Stop.OddBeats, 1, 30)
	f.between("stop.least_rise_bpm", float64(r.Stop.LeastRise), -20, 10)
	f.between("screening.postpone_above_odd_beats_per_min", r.Screening.OddBeats, 1, 30)
	f.between("cool_down.max_resistance_kp", float64(r.CoolDown.MaxResistance), 0, 1.5)
	if r.Ceiling.Of == "fixed" {
		f.between("ceiling.fixed_bpm", float64(r.Ceiling.Fixed), 100, 200)
	} else if slices.Contains([]string{"max_hr", "reserve"}, r.Ceiling.Of) {
		f.between("ceiling.fraction", r.Ceiling.Fraction, 0.4, 1)
	}
	f.seconds(r)
	f.limits(r)
	f.together(r)
	if r.Stop.EmergencyMissS <= r.Stop.EmergencyFullS {
		f.add("stop.emergency_missed_after_s", "stop.emergency_missed_after_s %d is not after full credit at %d", r.Stop.EmergencyMissS, r.Stop.EmergencyFullS)
	}
	if r.Pressure.ValveLow > r.Pressure.ValveHigh {
		f.add("pressure.valve_low_mmhg_s", "valve: low %v is above high %v", r.Pressure.ValveLow, r.Pressure.ValveHigh)
	}
	if slices.Contains([]int{10, 15, 30}, r.Count.Seconds) && slices.Contains(SteadyRules(), r.Steady) {
		if share := UnsteadyByCounting(r.Steady, r.Count, 120); share > 0.25 {
			f.add("steady", "with a %d-s count, %.0f %% of perfectly steady subjects would be called unsteady by %s: count longer, or allow one beat", r.Count.Seconds, 100*share, r.Steady)
		}
	}
}

// seconds notes times that no test can keep.
func (f *flaws) seconds(r Rules) {
	for _, t := range []struct {
		path      string
		s         int
		low, high float64
	}{
		{"count.begin_before_s", r.Count.BeforeS, 0, 60}, {"count.end_after_s", r.Count.AfterS, 0, 60},
		{"pressure.from_s", r.Pressure.FromS, 0, 600}, {"pressure.repeat_after_s", r.Pressure.RepeatAfterS, 0, 600},
		{"screening.rest_s", r.Screening.RestS, 0, 1800}, {"screening.repeat_after_s", r.Screening.RepeatAfterS, 0, 1800},
		{"stop.cadence_lost_s", r.Stop.CadenceLostS, 5, 120}, {"stop.emergency_full_credit_s", r.Stop.EmergencyFullS, 1, 60},
		{"stop.emergency_missed_after_s", r.Stop.EmergencyMissS, 2, 300}, {"stop.verify_begin_s", r.Stop.VerifyBeginS, 5, 120},
		{"stop.verify_done_s", r.Stop.VerifyDoneS, 15, 600}, {"stop.look_every_s", r.Stop.LookEveryS, 15, 300},
		{"cool_down.active_s", r.CoolDown.ActiveS, 0, 1800}, {"cool_down.watch_s", r.CoolDown.WatchS, 60, 3600}, {"cool_down.hr_every_s", r.CoolDown.HREveryS, 30, 600},
	} {
		f.between(t.path, float64(t.s), t.low, t.high)
	}
	for _, t := range []struct {
		path string
		s    int
	}{{"stage_s", r.StageS}, {"extension_s", r.ExtensionS}} {
		if t.s > 0 && t.s%60 != 0 {
			f.add(t.path, "%s %d: %d min and %d s; a pulse belongs to a whole minute, so take %d or %d", t.path, t.s, t.s/60, t.s%60, t.s/60*60, t.s/60*60+60)
		}
	}
}

// limits notes limits of one value that are on the wrong side of each other.
func (f *flaws) limits(r Rules) {
	for _, l := range []struct {
		path      string
		x         float64
		low, high float64
	}{
		{"screening.postpone_above_hr_bpm", float64(r.Screening.PostponeHR), 60, 160},
		{"screening.postpone_from_sbp_mmhg", float64(r.Screening.PostponeSBP), 100, 220}, {"screening.postpone_from_dbp_mmhg", float64(r.Screening.PostponeDBP), 60, 130},
		{"stop.ask_from_rpe", float64(r.Stop.AskRPE), 6, 20}, {"cool_down.release_hr_bpm", float64(r.CoolDown.ReleaseHR), 60, 160},
		{"cool_down.pressures", float64(r.CoolDown.Pressures), 0, 10}, {"pressure.pump_above_mmhg", float64(r.Pressure.PumpAbove), 0, 80},
		{"pressure.valve_low_mmhg_s", r.Pressure.ValveLow, 0.5, 20}, {"pressure.valve_high_mmhg_s", r.Pressure.ValveHigh, 0.5, 20},
	} {
		f.between(l.path, l.x, l.low, l.high)
	}
	above := func(path string, x unit.Pressure, what string, limit unit.Pressure) {
		if x <= limit {
			f.add(path, "%s %v is not above the resting limit %s %v: whoever may be tested would be stopped at rest", path, x, what, limit)
		}
	}
	above("stop.above_sbp_mmhg", r.Stop.SystolicMax, "screening.postpone_from_sbp_mmhg", r.Screening.PostponeSBP)
	above("stop.above_sbp_mmhg", r.Stop.SystolicMax, "screening.refuse_above_sbp_mmhg", r.Screening.RefuseSBP)
	above("stop.above_dbp_mmhg", r.Stop.DiastolicMax, "screening.postpone_from_dbp_mmhg", r.Screening.PostponeDBP)
	above("stop.above_dbp_mmhg", r.Stop.DiastolicMax, "screening.refuse_above_dbp_mmhg", r.Screening.RefuseDBP)
	for _, l := range []struct {
		path             string
		refuse, postpone unit.Pressure
	}{
		{"screening.refuse_above_sbp_mmhg", r.Screening.RefuseSBP, r.Screening.PostponeSBP}, {"screening.refuse_above_dbp_mmhg", r.Screening.RefuseDBP, r.Screening.PostponeDBP},
	} {
		if l.refuse < l.postpone {
			f.add(l.path, "%s %v is below %v, from which the test is only put off", l.path, l.refuse, l.postpone)
		}
	}
}

// cuffMinute is how far apart two pressures on one arm are at least, in seconds. Source: [GAP].
const cuffMinute = 60

// together notes settings that each would work, and not with one another.
func (f *flaws) together(r Rules) {
	if room := r.Count.BeforeS + r.Count.AfterS; room < r.Count.Seconds {
		f.add("count.begin_before_s", "count: from %d s before the mark to %d s after it are %d s, and a count takes %d", r.Count.BeforeS, r.Count.AfterS, room, r.Count.Seconds)
	} else if room > 60 {
		f.add("count.begin_before_s", "count: from %d s before the mark to %d s after it are %d s: a count could belong to two minutes", r.Count.BeforeS, r.Count.AfterS, room)
	}
	if r.StageS > 0 && r.Pressure.FromS >= r.StageS {
		f.add("pressure.from_s", "pressure.from_s %d: a stage is over at %d s", r.Pressure.FromS, r.StageS)
	}
	if r.Stop.VerifyDoneS <= r.Stop.VerifyBeginS {
		f.add("stop.verify_done_s", "stop.verify_done_s %d is not after %d, by when it is begun", r.Stop.VerifyDoneS, r.Stop.VerifyBeginS)
	}
	if r.CoolDown.ActiveS > r.CoolDown.WatchS {
		f.add("cool_down.watch_s", "cool_down.watch_s %d: the pedals turn for %d s, and somebody who pedals is watched", r.CoolDown.WatchS, r.CoolDown.ActiveS)
	}
	if need := r.CoolDown.Pressures * cuffMinute; need > r.CoolDown.WatchS {
		f.add("cool_down.pressures", "cool_down.pressures %d: a minute apart they take %d s, and recovery is watched for %d", r.CoolDown.Pressures, need, r.CoolDown.WatchS)
	}
	f.emptyWindow(r)
}

// emptyWindow notes a window that is empty at every age.
func (f *flaws) emptyWindow(r Rules) {
	const rest = 70 // bpm, of a ceiling that needs one
	highest, at := unit.HR(0), unit.Age(0)
	for age := unit.Age(18); age <= 80; age++ {
		for _, sex := range []unit.Sex{unit.Male, unit.Female} {
			most, err := PredictedMaxHR(r.MaxHR, sex, age)
			if err != nil {
				continue
			}
			ceiling := Ceiling(r, most, rest)
			if high := min(WindowHigh(r, ceiling), ceiling); high > highest {
				highest, at = high, age
			}
		}
	}
	if highest > 0 && highest <= r.WindowLow {
		f.add("window_low_bpm", "window_low_bpm %v: the highest ceiling, at %v years, is %.1f bpm, so no stage of anybody can be used", r.WindowLow, at, float64(highest))
	}
}

// UnsteadyByCounting is the share of perfectly steady subjects, with rates spread evenly over one step of the count above hr, whom two counts of
// random phase call unsteady. By enumeration. Source: [DERIVED-COUNTING].
func UnsteadyByCounting(rule SteadyRule, count CountRule, hr float64) float64 {
	const grid = 200
	step := 60 / float64(count.Seconds)
	unsteady, all := 0.0, 0.0
	for i := range grid {
		beats := (hr + step*(float64(i)+0.5)/grid) / step // beats in the window
		low := math.Floor(beats)
		more := beats - low // the chance of one beat more than low
		all++
		if !Agree(rule, count, 0, unit.HR(step)) {
			unsteady += 2 * more * (1 - more)
		}
	}
	return unsteady / all
}

type flaws struct {
	found  []Flaw
	bounds map[string]Bound // nil unless wanted
}

func (f *flaws) add(path, format string, args ...any) {
	f.found = append(f.found, Flaw{path, fmt.Sprintf(format, args...)})
}

func (f *flaws) between(path string, x, low, high float64) {
	if f.bounds != nil {
		f.bounds[path] = Bound{Low: low, High: high}
	}
	if !(x >= low && x <= high) {
		f.add(path, "%s %v: %v to %v", path, x, low, high)
	}
}

// oneOf notes a value that is not in the list.
func oneOf[T comparable](f *flaws, path string, value T, all []T) {
	if f.bounds != nil {
		var b Bound
		for _, v := range all {
			b.OneOf = append(b.OneOf, v)
		}
		f.bounds[path] = b
	}
	if !slices.Contains(all, value) {
		f.add(path, "%s %v: one of %v", path, value, all)
	}
}

// bands notes bands that overlap, leave a gap or carry no work rates.
func (f *flaws) bands(r Rules) {
	if len(r.Bands) == 0 {
		f.add("bands", "bands: at least one")
	}
	edge := 0.0
	for i, b := range r.Bands {
		path := fmt.Sprintf("bands.%d", i)
		last := i == len(r.Bands)-1
		switch {
		case b.Below > 0 && b.UpTo > 0:
			f.add(path, "%s: below_bpm or up_to_bpm, not both", path)
		case last && (b.Below > 0 || b.UpTo > 0):
			f.add(path, "%s: the last band takes every higher rate and has no edge; now rates above %v fall in none", path, max(b.Below, b.UpTo))
		case !last && b.Below == 0 && b.UpTo == 0:
			f.add(path, "%s: no edge, so the bands after it are never reached", path)
		case !last && float64(max(b.Below, b.UpTo)) <= edge:
			f.add(path, "%s: its edge %v is not above the edge before it, %v: the bands overlap", path, max(b.Below, b.UpTo), edge)
		}
		edge = float64(max(b.Below, b.UpTo))
		if len(b.WorkRates) == 0 {
			f.add(path+".work_rates_kgm_min", "%s: no work rates", path)
		}
		before := r.FirstWorkRate
		for j, w := range b.WorkRates {
			if w <= before || w > 2100 {
				f.add(fmt.Sprintf("%s.work_rates_kgm_min.%d", path, j), "%s: %v does not follow %v (each stage is harder, at most 2100)", path, w, before)
			}
			before = w
		}
	}
}
