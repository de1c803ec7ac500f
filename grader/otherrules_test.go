package grader

import (
	"fmt"
	"slices"
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

// Graded under another rulebook than it was done under, a report says so, with both names; under its own it says nothing.
func TestOtherRulesThanItWasDoneUnderAreNamed(t *testing.T) {
	book := Default()
	c := play(t, book, mustCase(t, string(well)), 0, nil).course(t)
	other, err := Preset("three-band")
	if err != nil {
		t.Fatal(err)
	}
	says := func(b Rulebook) bool {
		return slices.Contains(Grade(b, c).Notes, "Judged by other rules (three-band) than it was done under (four-band): where the two differ, what was right there may be a finding here.")
	}
	if says(book) || !says(other) {
		t.Errorf("under its own rules: %q; under others: %q", Grade(book, c).Notes, Grade(other, c).Notes)
	}
}

// Of another model the person cannot be had again: the report says so, and judges all the same.
func TestAnotherModelIsNamed(t *testing.T) {
	book := Default()
	st := play(t, book, mustCase(t, string(well)), 0, nil)
	st.header.Model = scenarios.Model + 1
	r := Grade(book, st.course(t))
	want := fmt.Sprintf("Made with model %d of the subjects; this program has %d. Judged by what stands in the file: the person cannot be played again.", scenarios.Model+1, scenarios.Model)
	if !slices.Contains(r.Notes, want) || r.Percent == nil || *r.Percent != 100 {
		t.Errorf("%q", r.Notes)
	}
}
