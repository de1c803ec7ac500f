package grader

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
)

// consequence is the one at a path whose words contain some; nil when there is none or more than one.
func consequence(b Rulebook, path, words string) *Consequence {
	var found *Consequence
	for _, c := range b.Consequences() {
		if c.Path == path && strings.Contains(c.Says, words) {
			if found != nil {
				return nil
			}
			found = &c
		}
	}
	return found
}

// The rules that ship raise no doubt; each setting that works and not for everybody raises its own, with a figure that was worked by hand:
//
//   - 10-s counts and 5 bpm in a steady person: two counts of random phase differ by a beat, 6 bpm, with 2p(1−p), 1/3 on average.
//   - the window of 70 years: 0.85 × 150; 0.6 of reserve from 70 bpm: 0.6 × 80 + 70.
//   - 150 bpm at 70 years: 0.9 SD of 10 below 208 − 0.7 × 70 = 159, beyond which lie 18 %.
//   - pressures: 11 s and 130 mmHg at 3 or 2 mmHg/s.
//   - alone, a stage of three minutes: 3 × (17 + 2) for pulses, 3 × 7 to look and ask, 6 to check, 7 for exertion, 54.3–76 + 2 for the pressure; a count of
//     30 s adds 45; a helper at the wrist makes 3 × 4 of 3 × 19.
//   - 30 + 15 + 15 of 70 points are 86 %.
func TestConsequencesAreWorkedOut(t *testing.T) {
	for _, c := range Default().Consequences() {
		if c.Doubt {
			t.Errorf("the rules that ship raise a doubt: %+v", c)
		}
	}
	for _, c := range []struct {
		set         string // with blanks between
		path, words string // of the consequence
		doubt       bool
	}{
		{"", "window_low_bpm", "at 70 years, resting at 70 bpm, a stage counts from 110 to 127.5 bpm", false},
		{"window_low_bpm=120", "window_low_bpm", "at 70 years, resting at 70 bpm, a stage counts from 120 to 127.5 bpm: 7.5 bpm wide, so that one stage may step over it", true},
		{"ceiling={of: reserve, fraction: 0.6}", "window_low_bpm", "at 70 years, resting at 70 bpm, a stage counts from 110 to 118.0 bpm: 8.0 bpm wide", true},
		{"ceiling={of: fixed, fraction: 0, fixed_bpm: 150} window_high=fixed150", "window_low_bpm", "at 70 years, resting at 70 bpm, a stage counts from 110 to 150.0 bpm; of people of that age about 18 % never reach the ceiling of 150 bpm", true},
		{"ceiling.fraction=0.7", "window_low_bpm", "the window is empty: the ceiling of 105.0 bpm is not above 110", true},
		{"stage_s=120", "pressure.from_s", "takes 54–76 s; from 1:00 to the last count of the stage there are 45 s: begin it late", true},
		{"", "crew", "alone, pulses, a pressure, looks, questions, checks and writing take 147–169 s of the 180 of a stage", false},
		{"count.seconds=30", "crew", "take 192–214 s of the 180 of a stage: the pressure then ends after the stage", true},
		{"count.seconds=30 crew=pulse_helper", "crew", "with a helper at the wrist, pulses, a pressure, looks, questions, checks and writing take 102–124 s of the 180", false},
		{"crew=pressure_helper", "crew", "with a helper at the cuff, pulses, looks, questions, checks and writing take 95 s of the 180", false},
		{"crew=both", "crew", "take 50 s of the 180", false},
		{"count.every_minutes=2", "count.every_minutes", "in a stage of 3 min a pulse is due once, never in two minutes in a row: whether it is steady (le5)", true},
		{"count.every_minutes=3", "count.every_minutes", "is due once, never in two", true},
		{"count.from_minute=2", "count.every_minutes", "in a stage of 3 min a pulse is due 2 times", false},
		{"count.seconds=10 steady=one_beat", "steady", "a 10-s count moves in steps of 6 bpm; of people who are perfectly steady near 120 bpm it calls 0 % unsteady (one_beat)", false},
		{"weights.safety=10", "weights", "safety 10, validity 30, procedure 15, arithmetic 15 of 70 points, 85 % pass: somebody without a point for safety, and without another fault, passes", true},
		{"pass_percent=90", "weights", "safety 40, validity 30, procedure 15, arithmetic 15 of 100 points, 90 % pass", false},
		{"points.consent=0 points.told=0", "points", "2 cost nothing: consent, told", true},
		// The other rules of validity have 30 points together: 40 of 70, of 30 in 100.
		{"points.branch-column=40", "points", "the dearest rule, branch-column, is 17.1 % of all points", true},
		{"norms=us-cycle", "norms", "are rated excellent and superior", true},
		{"norms=norway-treadmill", "norms", "about one class too low): the middle man and woman of 10 090 Germans measured on a cycle, in their forties (36 and 30 mL/kg/min), are rated very poor and very poor", true},
		{"", "norms", "are rated fair and good", false},
	} {
		b := Default()
		if c.set != "" {
			if err := b.SetAll(splitSets(c.set)); err != nil {
				t.Errorf("%s: %v", c.set, err)
				continue
			}
		}
		got := consequence(b, c.path, c.words)
		switch {
		case got == nil:
			t.Errorf("%s: no one consequence at %s says %q: %+v", c.set, c.path, c.words, b.Consequences())
		case got.Doubt != c.doubt:
			t.Errorf("%s: doubt %v: %s", c.set, got.Doubt, got.Says)
		}
	}
	if b, err := Preset("three-band"); err != nil {
		t.Fatal(err)
	} else if c := consequence(b, "bands", "3 bands; after 150 kg·m/min the next load is 600 below 86 bpm, 450 up to 100 bpm, 300 above; part of this table is from memory: confirm it"); c == nil || !c.Doubt {
		t.Errorf("a table from memory: %+v", c)
	}
}

// splitSets splits settings apart by a blank before a path.
func splitSets(text string) []string {
	var all []string
	for _, w := range strings.Split(text, " ") {
		if strings.Contains(w, "=") {
			all = append(all, w)
		} else {
			all[len(all)-1] += " " + w
		}
	}
	return all
}

// figureIn is the first number before some words in what a consequence says.
func figureIn(t *testing.T, c *Consequence, before string) float64 {
	t.Helper()
	if c == nil {
		t.Fatalf("no consequence says %q", before)
	}
	head, _, ok := strings.Cut(c.Says, before)
	words := strings.Fields(head)
	if !ok || len(words) == 0 {
		t.Fatalf("%q is not in %q", before, c.Says)
	}
	x, err := strconv.ParseFloat(words[len(words)-1], 64)
	if err != nil {
		t.Fatalf("%q: %v", c.Says, err)
	}
	return x
}

// What is played on synthetic people moves with the rule: without a minute more as many stages stay unsteady as take one otherwise; big steps take more
// people over the window; three points are had by fewer.
func TestPlayedConsequences(t *testing.T) {
	of := func(set, path, words string) *Consequence {
		b := Default()
		if set != "" {
			if err := b.SetAll(splitSets(set)); err != nil {
				t.Fatal(err)
			}
		}
		return consequence(b, path, words)
	}
	usual := of("", "max_extensions", "take a minute more")
	none := of("max_extensions=0", "max_extensions", "no minute may be added: they are left out of the line")
	longer, unsteady := figureIn(t, usual, " % take a minute more"), figureIn(t, none, " % are not steady")
	if usual.Doubt || !none.Doubt || unsteady < longer-4 || unsteady > longer+4 {
		t.Errorf("%s; %s", usual.Says, none.Says)
	}
	usual = of("", "bands", "the largest step, into stage 2, is 600 kg·m/min")
	big := of("bands.3.work_rates_kgm_min=[900,1200] bands.2.work_rates_kgm_min=[900,1200] bands.1.work_rates_kgm_min=[900,1200]", "bands", "the largest step, into stage 2, is 750 kg·m/min")
	if a, b := figureIn(t, usual, " % from below"), figureIn(t, big, " % from below"); usual.Doubt || !big.Doubt || b < 2*a {
		t.Errorf("%s; %s", usual.Says, big.Says)
	}
	after := of("step_after_table_kgm_min=600 bands.0.work_rates_kgm_min=[600]", "bands", "the largest step, after the table, is 600 kg·m/min")
	if after == nil {
		t.Error("a step after the table as large as any in it is not named")
	}
	usual, three := of("", "qualifying_stages", "end with a line"), of("qualifying_stages=3", "qualifying_stages", "end with a line")
	if a, b := figureIn(t, usual, " % end with"), figureIn(t, three, " % end with"); usual.Doubt || !three.Doubt || b > a-10 || b == 0 {
		t.Errorf("%s; %s", usual.Says, three.Says)
	}
	if c := of("one_point=none", "qualifying_stages", "end with a line"); strings.Contains(c.Says, "single-stage") {
		t.Errorf("a house without single-stage values: %s", c.Says)
	}
}

// A 10-s count with a rule of 5 bpm is refused, and this is what it would come to: of the stages of people in whom longer counts find hardly
// any, most are called unsteady in their third minute; with one beat of the count as the rule they are not.
func TestTenSecondCountsInPeople(t *testing.T) {
	unsteady := func(seconds int, rule string) float64 {
		b := Default()
		b.Count.Seconds, b.MaxExtensions = seconds, 0
		if err := b.Set("steady=" + rule); err != nil && seconds != 10 {
			t.Fatal(err)
		}
		if seconds == 10 {
			b.Steady = "le5"
			if rule == "one_beat" {
				b.Steady = "one_beat"
			}
		}
		p := b.play()
		return percent(p.unsteady, p.stages)
	}
	fine, coarse, beat := unsteady(30, "le5"), unsteady(10, "le5"), unsteady(10, "one_beat")
	t.Logf("not steady in the third minute: 30 s %.0f %%, 10 s %.0f %%, 10 s and one beat %.0f %%", fine, coarse, beat)
	if coarse < 45 || coarse < 4*fine || beat > 25 {
		t.Errorf("not steady: 30 s and 5 bpm %.0f %%, 10 s and 5 bpm %.0f %%, 10 s and one beat %.0f %%", fine, coarse, beat)
	}
}

// Where the pulse is counted from the second minute on, nobody is charged for the first; where it is counted in each, they are.
func TestPulseFromTheSecondMinute(t *testing.T) {
	for _, c := range []struct{ from, missing int }{{0, 2}, {2, 0}} {
		h := &handmade{book: Default(), sex: "M", age: 40}
		if c.from > 0 {
			if err := h.book.Set(fmt.Sprintf("count.from_minute=%d", c.from)); err != nil {
				t.Fatal(err)
			}
		}
		h.stages = []handStage{{150, []float64{0, 96, 96}}, {450, []float64{0, 116, 116}}}
		h.ride(70)
		h.handIn(35)
		missing := 0
		for _, o := range rulePulseEachMinute.Judge(h.book, h.course(t)) {
			if o.Credit < 1 {
				missing++
			}
		}
		if missing != c.missing {
			t.Errorf("from minute %d: %d counts are missed, want %d", c.from, missing, c.missing)
		}
	}
}

// What is to be said of helpers is said where somebody helps, and nowhere else.
func TestWhyOfHelpers(t *testing.T) {
	alone, helped := Default(), Default()
	helped.Crew = "both"
	found := 0
	for _, r := range Rules() {
		if r.WhyIn(alone) != r.Why {
			t.Errorf("%s speaks of helpers where there are none: %s", r.Name, r.WhyIn(alone))
		}
		if r.WhyIn(helped) != r.Why {
			found++
		}
	}
	if found != 2 {
		t.Errorf("%d rules say more where somebody helps, want 2", found)
	}
}
