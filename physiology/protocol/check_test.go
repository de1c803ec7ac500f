package protocol

import (
	"strings"
	"testing"

	"kilopond/physiology/unit"
)

// What cannot work is refused at its path, with the numbers that show it. The rules that ship have no flaw.
func TestCheckRefuses(t *testing.T) {
	if f := Default().Check(); len(f) > 0 {
		t.Fatalf("the rules that ship are refused: %v", f)
	}
	for _, c := range []struct {
		path, says string
		change     func(*Rules)
	}{
		{"stage_s", "stage_s 170: 2 min and 50 s; a pulse belongs to a whole minute, so take 120 or 180", func(r *Rules) { r.StageS = 170 }},
		{"extension_s", "extension_s 90: 1 min and 30 s; a pulse belongs to a whole minute, so take 60 or 120", func(r *Rules) { r.ExtensionS = 90 }},
		{"stop.verify_begin_s", "stop.verify_begin_s 3: 5 to 120", func(r *Rules) { r.Stop.VerifyBeginS = 3 }},
		{"count.from_minute", "count.from_minute 3: 0 to 2", func(r *Rules) { r.Count.From = 3 }},
		{"count.begin_before_s", "count: from 5 s before the mark to 5 s after it are 10 s, and a count takes 15", func(r *Rules) { r.Count.BeforeS, r.Count.AfterS = 5, 5 }},
		{"count.begin_before_s", "count: from 40 s before the mark to 40 s after it are 80 s: a count could belong to two minutes", func(r *Rules) { r.Count.BeforeS, r.Count.AfterS = 40, 40 }},
		{"pressure.from_s", "pressure.from_s 180: a stage is over at 180 s", func(r *Rules) { r.Pressure.FromS = 180 }},
		{"pressure.valve_low_mmhg_s", "valve: low 4 is above high 3", func(r *Rules) { r.Pressure.ValveLow = 4 }},
		{"stop.verify_done_s", "stop.verify_done_s 15 is not after 15, by when it is begun", func(r *Rules) { r.Stop.VerifyDoneS = 15 }},
		{"stop.emergency_missed_after_s", "stop.emergency_missed_after_s 10 is not after full credit at 10", func(r *Rules) { r.Stop.EmergencyMissS = 10 }},
		{"stop.above_sbp_mmhg", "stop.above_sbp_mmhg 180 is not above the resting limit screening.refuse_above_sbp_mmhg 200: whoever may be tested would be stopped at rest", func(r *Rules) { r.Stop.SystolicMax = 180 }},
		{"stop.above_dbp_mmhg", "stop.above_dbp_mmhg 110 is not above the resting limit screening.refuse_above_dbp_mmhg 110: whoever may be tested would be stopped at rest", func(r *Rules) { r.Stop.DiastolicMax = 110 }},
		{"screening.refuse_above_sbp_mmhg", "screening.refuse_above_sbp_mmhg 150 is below 160, from which the test is only put off", func(r *Rules) { r.Screening.RefuseSBP = 150 }},
		{"screening.refuse_above_dbp_mmhg", "screening.refuse_above_dbp_mmhg 95 is below 100, from which the test is only put off", func(r *Rules) { r.Screening.RefuseDBP = 95 }},
		{"cool_down.watch_s", "cool_down.watch_s 300: the pedals turn for 360 s, and somebody who pedals is watched", func(r *Rules) { r.CoolDown.ActiveS = 360 }},
		{"cool_down.pressures", "cool_down.pressures 6: a minute apart they take 360 s, and recovery is watched for 300", func(r *Rules) { r.CoolDown.Pressures = 6 }},
		// 0.6 × (220 − 18) is 121.2.
		{"window_low_bpm", "window_low_bpm 125: the highest ceiling, at 18 years, is 121.2 bpm, so no stage of anybody can be used", func(r *Rules) { r.WindowLow, r.Ceiling.Fraction = 125, 0.6 }},
		// Two counts of random phase differ by one beat with 2p(1−p), a third on average over p.
		{"steady", "with a 10-s count, 33 % of perfectly steady subjects would be called unsteady by le5: count longer, or allow one beat", func(r *Rules) { r.Count.Seconds = 10 }},
		{"ceiling.fixed_bpm", "ceiling.fixed_bpm 0: 100 to 200", func(r *Rules) { r.Ceiling = CeilingRule{Of: "fixed"} }},
		{"ceiling.fraction", "ceiling.fraction 1.2: 0.4 to 1", func(r *Rules) { r.Ceiling.Fraction = 1.2 }},
		{"norms", "norms german: one of [six-class us-cycle norway-treadmill]", func(r *Rules) { r.Norms = "german" }},
		{"bands", "bands: at least one", func(r *Rules) { r.Bands = nil }},
		{"bands.1", "bands.1: its edge 75 is not above the edge before it, 80: the bands overlap", func(r *Rules) { r.Bands[1].Below = 75 }},
		{"bands.3", "bands.3: the last band takes every higher rate and has no edge; now rates above 110 fall in none", func(r *Rules) { r.Bands[3].UpTo = 110 }},
		{"bands.1", "bands.1: no edge, so the bands after it are never reached", func(r *Rules) { r.Bands[1].Below = 0 }},
		{"bands.0", "bands.0: below_bpm or up_to_bpm, not both", func(r *Rules) { r.Bands[0].UpTo = 80 }},
		{"bands.2.work_rates_kgm_min", "bands.2: no work rates", func(r *Rules) { r.Bands[2].WorkRates = nil }},
		{"bands.2.work_rates_kgm_min.1", "bands.2: 400 does not follow 450 (each stage is harder, at most 2100)", func(r *Rules) { r.Bands[2].WorkRates = []unit.WorkRate{450, 400} }},
	} {
		r := Default()
		c.change(&r)
		var all []string
		found := false
		for _, f := range r.Check() {
			all = append(all, f.Path+" | "+f.Message)
			found = found || f.Path == c.path && f.Message == c.says
		}
		if !found {
			t.Errorf("want %s | %s\ngot  %s", c.path, c.says, strings.Join(all, "\n     "))
		}
	}
}
