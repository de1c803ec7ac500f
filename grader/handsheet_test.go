package grader

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// handF40 is a woman of 40 with 70 kg on 150, 300 and 450 kg·m/min, at 104, 112 and 127 bpm, worked by hand: maximum 220 − 40 = 180; slope
// (127 − 112)/150 = 0.1; 450 + (180 − 127)/0.1 = 980 kg·m/min; 1.8 × 980/70 + 7 = 32.2 mL/kg/min; 2.254 L/min; 9.2 METs.
// Equation: metabolic equation for leg cycling. Source: [BUSHMAN2020]; line through the last two points: [CSEP2009].
func handF40(answers ...string) HandSheet {
	h := HandSheet{Sex: unit.Female, Age: 40, Mass: 70, RestHR: 68, RestBP: HandPressure{122, 78}}
	for _, s := range []struct {
		work unit.WorkRate
		hr   [2]unit.HR
	}{{150, [2]unit.HR{104, 104}}, {300, [2]unit.HR{110, 114}}, {450, [2]unit.HR{126, 128}}} {
		h.Stages = append(h.Stages, HandStage{WorkRate: s.work, Pulses: []HandPulse{{0, s.hr[0]}, {0, s.hr[1]}}})
	}
	for _, a := range answers {
		key, text, _ := strings.Cut(a, "=")
		h.Answers = append(h.Answers, HandAnswer{exercises.Key(key), text})
	}
	return h
}

var rightF40 = []string{
	"max_hr_bpm=180", "ceiling_bpm=153", "ceiling_count=38.25", "points=2 3", "max_work_rate_kgm_min=980", "vo2max_ml_kg_min=32.2", "vo2max_l_min=2.25",
	"mets=9.2", "rating=fair", "error_range_percent=15",
}

func TestSheetByHandWorkedByHand(t *testing.T) {
	v := GradeSheet(Default(), handF40(rightF40...))
	if got := float64(v.Worked.MaxWorkRate); math.Abs(got-980) > 1e-6 {
		t.Errorf("work rate at the maximum = %v, want 980", got)
	}
	if got := float64(v.Worked.VO2Rel); math.Abs(got-32.2) > 1e-6 {
		t.Errorf("VO2max = %v, want 32.2", got)
	}
	if v.MarginA.MlKgMin == nil || *v.MarginA.MlKgMin != 0 || len(v.Slips) != 0 {
		t.Errorf("margin %v, slips %v of a right sheet", v.MarginA, v.Slips)
	}
	for _, i := range v.Items {
		if i.Credit != 1 && i.Rule != "sum-rating" { // the word is the table's, not this test's
			t.Errorf("%s: credit %v of a right sheet", i.Rule, i.Credit)
		}
	}
	if len(v.Breaches) != 0 {
		t.Errorf("breaches %v of a sheet that is graded for its sums", v.Breaches)
	}
	if got := GradeSheet(Default(), handF40(append(slices.Clone(rightF40[:8]), "rating="+v.Worked.Rating.Category, "error_range_percent=15")...)); *got.Percent != 100 {
		t.Errorf("%v %% for a right sheet", *got.Percent)
	}
}

func TestSheetByHandNamesSlips(t *testing.T) {
	for _, c := range []struct{ wrote, slip string }{
		{"max_work_rate_kgm_min=710", "the line read at the ceiling instead of the maximum"}, // 450 + (153 − 127)/0.1
		{"vo2max_ml_kg_min=25.2", "the resting 7 left out"},                                  // 1.8 × 980/70
		{"max_hr_bpm=185.4", "another equation for the maximum"},                             // 211 − 0.64 × 40
		{"vo2max_l_min=2254", "millilitres not turned into litres"},
		{"ceiling_count=25.5", "the count of another length"}, // 153/6
	} {
		key, _, _ := strings.Cut(c.wrote, "=")
		answers := []string{c.wrote}
		for _, a := range rightF40 {
			if !strings.HasPrefix(a, key+"=") {
				answers = append(answers, a)
			}
		}
		v := GradeSheet(Default(), handF40(answers...))
		if !slices.ContainsFunc(v.Slips, func(s Slip) bool { return s.Item == key && s.Name == c.slip }) {
			t.Errorf("%s: slips %+v, want %q", c.wrote, v.Slips, c.slip)
		}
	}
}

// Where only litres a minute are written, the margin is that of the litres: 2.1 × 1000/70 is 30, against 32.2.
func TestSheetByHandInLitres(t *testing.T) {
	m := GradeSheet(Default(), handF40("vo2max_l_min=2.1")).MarginA
	if m.MlKgMin == nil || *m.MlKgMin != -2.2 {
		t.Errorf("margin %v, want −2.2", m.MlKgMin)
	}
	if m := GradeSheet(Default(), handF40("mets=9")).MarginA; m.MlKgMin != nil || m.WhyNot == "" {
		t.Errorf("a margin without an estimate: %+v", m)
	}
}

func TestRealSheetShowsItsBreaches(t *testing.T) {
	b := Default()
	base := handF40(rightF40...)
	base.Stages[0].Pulses = []HandPulse{{26, 104}, {26, 104}, {26, 104}}
	if v := GradeRealSheet(b, base); len(v.Breaches) != 0 || v.Percent != nil || len(v.Items) != 0 {
		t.Errorf("a clean sheet shows %+v, %v", v.Breaches, v.Percent)
	}
	for name, c := range map[string]struct {
		change func(*HandSheet)
		want   []string
	}{
		"unsteady":         {func(h *HandSheet) { h.Stages[1].Pulses = []HandPulse{{0, 104}, {0, 120}} }, []string{"steady-accepted", "sum-points"}},
		"wrong column":     {func(h *HandSheet) { h.Stages[0].Pulses = []HandPulse{{0, 84}, {0, 84}} }, []string{"branch-column"}},
		"first load":       {func(h *HandSheet) { h.Stages[0].WorkRate = 300 }, []string{"first-work-rate"}},
		"a jump":           {func(h *HandSheet) { h.Stages[2].WorkRate = 750 }, []string{"later-loads"}},
		"past the ceiling": {func(h *HandSheet) { h.Stages[1].Pulses = []HandPulse{{0, 154}, {0, 156}} }, []string{"ceiling", "sum-points"}},
		"resting limit":    {func(h *HandSheet) { h.RestBP = HandPressure{166, 88} }, []string{"screen-decision"}},
		"pressure limit":   {func(h *HandSheet) { h.Stages[1].Pressures = []HandPressure{{256, 90}} }, []string{"pressure-limit"}},
		"fall of pressure": {func(h *HandSheet) {
			h.Stages[0].Pressures = []HandPressure{{160, 80}}
			h.Stages[1].Pressures = []HandPressure{{140, 80}}
		}, []string{"verify-pressure"}},
		"fall, not confirmed": {func(h *HandSheet) {
			h.Stages[0].Pressures = []HandPressure{{160, 80}}
			h.Stages[1].Pressures = []HandPressure{{140, 80}, {166, 80}}
		}, nil},
		"wrong points": {func(h *HandSheet) { h.Answers[3].Text = "1 3" }, []string{"sum-points"}},
		"no usable stage": {func(h *HandSheet) {
			h.Stages[1].Pulses, h.Stages[2].Pulses = []HandPulse{{0, 104}, {0, 120}}, []HandPulse{{0, 126}, {0, 140}}
		}, []string{"sum-no-estimate", "steady-accepted"}},
		"too many minutes": {func(h *HandSheet) {
			h.Stages[1].Pulses = []HandPulse{{0, 96}, {0, 102}, {0, 108}, {0, 114}, {0, 120}, {0, 126}, {0, 132}}
		}, []string{"extensions-many"}},
	} {
		h := handF40(rightF40...)
		c.change(&h)
		var got []string
		for _, f := range GradeRealSheet(b, h).Breaches {
			got = append(got, f.Rule)
			if f.Known == "" && f.Did == "" || f.Where == "" || len(f.Sources) == 0 {
				t.Errorf("%s: %+v says too little", name, f)
			}
		}
		for _, w := range c.want {
			if !slices.Contains(got, w) {
				t.Errorf("%s: breaches %v, want %s", name, got, w)
			}
		}
		if c.want == nil && len(got) > 0 {
			t.Errorf("%s: breaches %v, want none", name, got)
		}
	}
}

// A sheet by hand of the readings that an attempt holds comes to the same worked answer and the same slips as the attempt.
func TestSheetByHandAgreesWithAttempts(t *testing.T) {
	b := Default()
	for _, id := range []string{"uneventful", "monday-six", "friday-nine"} {
		one, err := scenarios.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		for seed := range scenarios.Seed(8) {
			played, err := Play(b, one.Draw(seed))
			if err != nil {
				t.Fatal(err)
			}
			c := ReadState(b, played.Session.State())
			if !begun(c) {
				continue
			}
			h := HandSheetOf(b, c)
			st := studentEstimate(c)
			for _, it := range c.State.Items {
				if slices.Contains(HandKeys(), it.Key) {
					h.Answers = append(h.Answers, HandAnswer{it.Key, it.Text})
				}
			}
			v := GradeSheet(b, h)
			got, err := json.Marshal(v.Worked)
			if err != nil {
				t.Fatal(err)
			}
			want, err := json.Marshal(WorkSheet(b, c))
			if err != nil {
				t.Fatal(err)
			}
			if string(got) != string(want) {
				t.Errorf("%s %d: by hand %s\nattempt %s", id, seed, got, want)
			}
			if !reflect.DeepEqual(v.Student, st) {
				t.Errorf("%s %d: the boxes %+v, of the attempt %+v", id, seed, v.Student, st)
			}
			if *v.Percent != 100 {
				t.Errorf("%s %d: the reference proctor's calculation gets %v %%: %+v", id, seed, *v.Percent, v.Findings)
			}
			if real := GradeRealSheet(b, h); len(real.Breaches) != 0 {
				t.Errorf("%s %d: the reference proctor's sheet shows %+v", id, seed, real.Breaches)
			}
		}
	}
}

// Where only counts stand, as on an exam's sheet, the line goes through what they come to, and the multiplying is nobody's: neither kept nor broken.
func TestSheetByHandWithCountsAlone(t *testing.T) {
	counted, written := handF40(rightF40...), handF40(rightF40...)
	for i, s := range counted.Stages {
		for j, p := range s.Pulses {
			beats := int(math.Round(float64(p.HR) / 4)) // of 15 s
			counted.Stages[i].Pulses[j] = HandPulse{Beats: beats}
			written.Stages[i].Pulses[j] = HandPulse{Beats: beats, HR: unit.HR(4 * beats)}
		}
	}
	a, b := GradeSheet(Default(), counted), GradeSheet(Default(), written)
	if a.Worked.VO2Rel != b.Worked.VO2Rel || !a.Worked.Estimable {
		t.Errorf("worked %v on counts, %v on their rates", a.Worked.VO2Rel, b.Worked.VO2Rel)
	}
	judged := func(v SheetVerdict) bool {
		return slices.ContainsFunc(v.Items, func(i Item) bool { return i.Rule == "sum-heart-rates" })
	}
	if judged(a) || !judged(b) {
		t.Errorf("multiplying is judged without rates: %v; with them: %v", judged(a), judged(b))
	}
}
