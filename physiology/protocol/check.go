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
	f.bands(r)
	oneOf(&f, "steady", r.Steady, SteadyRules())
	oneOf(&f, "stage_hr", r.StageHR, StageHRRules())
	oneOf(&f, "branch_hr", r.BranchHR, StageHRRules())
	oneOf(&f, "max_hr", r.MaxHR, MaxHREquations())
	oneOf(&f, "end", r.End, EndRules())
	oneOf(&f, "fit", r.Fit, Fits())
	oneOf(&f, "o2_cost", r.O2Cost, O2Costs())
	oneOf(&f, "one_point", r.OnePoint, []OnePointRule{SingleStageValue, NoSingleStage})
	oneOf(&f, "window_high", r.WindowHigh, []WindowHighRule{WindowCeiling, WindowFixed150})
	oneOf(&f, "ceiling.of", r.Ceiling.Of, []string{"max_hr", "reserve", "fixed"})
	oneOf(&f, "count.first_beat", r.Count.FirstBeat, []string{"zero", "one"})
	oneOf(&f, "count.seconds", r.Count.Seconds, []int{10, 15, 30})
	oneOf(&f, "pressure.diastolic_phase", r.Pressure.DiastolicPhase, []string{"V", "IV", "both"})
	oneOf(&f, "crew", r.Crew, []string{"solo", "pulse_helper", "pressure_helper", "both"})
	oneOf(&f, "norms", r.Norms, []string{"six-class"})

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
	if r.Stop.SystolicMax <= r.Screening.RefuseSBP {
		f.add("stop.above_sbp_mmhg", "stop.above_sbp_mmhg %v is not above the resting limit %v", r.Stop.SystolicMax, r.Screening.RefuseSBP)
	}
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
	return f
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

type flaws []Flaw

func (f *flaws) add(path, format string, args ...any) {
	*f = append(*f, Flaw{path, fmt.Sprintf(format, args...)})
}

func (f *flaws) between(path string, x, low, high float64) {
	if !(x >= low && x <= high) {
		f.add(path, "%s %v: %v to %v", path, x, low, high)
	}
}

// oneOf notes a value that is not in the list.
func oneOf[T comparable](f *flaws, path string, value T, all []T) {
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
