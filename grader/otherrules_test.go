package grader

import (
	"testing"

	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// TestRightWayUnderOtherRules plays correct tests under the versions met in print: the proctor works by the book that it is given, and the
// rules judge by the same.
func TestRightWayUnderOtherRules(t *testing.T) {
	for _, sets := range [][]string{
		{"steady=lt5"}, {"steady=le6"}, {"steady=one_beat"}, {"end=within10"}, {"stage_hr=last"}, {"branch_hr=mean_last_two"},
		{"max_hr=208-0.7age"}, {"max_hr=206.9-0.67age"}, {"max_hr=sydo"}, {"fit=ols"}, {"one_point=none"}, {"qualifying_stages=3"},
		{"steady=one_beat", "count.seconds=10"}, {"count.seconds=30"}, {"warm_up_s=60"}, {"warm_up_s=0"}, {"max_extensions=1"},
		{"pressure.every_stages=2"}, {"ceiling.of=reserve", "ceiling.fraction=0.7"}, {"fixed ceiling"},
		{"window_high=fixed150"}, {"window_low_bpm=115"}, {"cadence_rpm=60"}, {"cool_down.active_s=300"}, {"o2_cost=leg_2.0_3.5"},
		{"screening.postpone_from_sbp_mmhg=130"}, {"screening.rest_s=180"}, {"stop.above_sbp_mmhg=201"},
		{"three-band"}, {"ceiling-150"}, {"reserve-70"}, {"count-10"}, {"one-recovery-pressure"},
	} {
		t.Run(sets[0], func(t *testing.T) {
			book := Default()
			for _, set := range sets {
				if set == "fixed ceiling" {
					book.Ceiling = protocol.CeilingRule{Of: "fixed", Fixed: 150}
					continue
				}
				if b, err := Preset(set); err == nil {
					book = b
					continue
				}
				if err := book.Set(set); err != nil {
					t.Fatal(err)
				}
			}
			for _, id := range []caseID{well, chest, falls} {
				c := mustCase(t, string(id))
				for seed := range scenarios.Seed(15) {
					r := Grade(book, play(t, book, c, seed, nil).course(t))
					if *r.Percent == 100 && len(r.Gate) == 0 {
						continue
					}
					t.Errorf("%s seed %d: %.1f %%, gate %q", id, seed, *r.Percent, r.Gate)
					for _, f := range charges(r) {
						t.Log(line(f))
					}
				}
			}
		})
	}
}
