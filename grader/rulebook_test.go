package grader

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// TestSetRefuses: what each wrong setting is told, word for word; the rulebook stays as it was.
func TestSetRefuses(t *testing.T) {
	for _, c := range []struct{ set, says string }{
		{"steady", `--set "steady": write PATH=VALUE, for example steady=lt5`},
		{"steady=", `--set "steady=": write PATH=VALUE, for example steady=lt5`},
		{"=lt5", `--set "=lt5": write PATH=VALUE, for example steady=lt5`},
		{"steady=lt5\nfit=ols", `--set "steady=lt5\nfit=ols": write PATH=VALUE, for example steady=lt5`},
		{"stedy=lt5", "--set stedy: no such field; did you mean steady?"},
		{"kadenz=50", "--set kadenz: no such field; `kilopond rulebook show` lists them"},
		{"steady=le4", "--set steady: steady le4: one of [le5 lt5 le6 one_beat]"},
		{"steady=&a lt5", "--set steady: anchors and aliases are not used here: write the value out"},
		{"count.seconds=12", "--set count.seconds: count.seconds 12: one of [10 15 30]"},
		{"count.seconds=ten", "--set count.seconds: count.seconds must be a whole number, not ten"},
		{"count.seconds=10", "--set count.seconds: with a 10-s count, 33 % of perfectly steady subjects would be called unsteady by le5: count longer, or allow one beat"},
		{"pass_percent=.nan", "--set pass_percent: pass_percent must be a number, not .nan"},
		{"pass_percent=101", "--set pass_percent: pass_percent 101: 0 to 100"},
		{"points.branch-colum=3", "--set points.branch-colum: no such field; did you mean points.branch-column?"},
		{"points.branch-column=-1", "--set points.branch-column: points.branch-column: -1 is not 0 or more"},
		{"weights={safety: 0, validity: 0, procedure: 0, arithmetic: 0}", "--set weights: weights: none may be negative, and not all may be 0"},
		{"max_extensions=07", "--set max_extensions: max_extensions: 07 begins with 0 and looks octal: write it without"},
		{"max_extensions=1.5", "--set max_extensions: max_extensions must be a whole number, not 1.5"},
		{"max_extensions=null", "--set max_extensions: max_extensions is empty: give a value or leave the line out"},
		{"warm_up_s=1e3", "--set warm_up_s: warm_up_s 1000: 0 to 600"},
		{"screening.repeat_when_high=yes", "--set screening.repeat_when_high: screening.repeat_when_high must be true or false, not yes"},
		{"bands.0=1", "--set bands.0: give the whole of bands.N.work_rates_kgm_min, or one edge"},
		{"bands.9.below_bpm=70", "--set bands.9.below_bpm: bands are numbered 0 to 3"},
		{"bands.0.below_bpm=95", "--set bands.0.below_bpm: bands.1: its edge 90 is not above the edge before it, 95: the bands overlap"},
		{"bands.0.work_rates_kgm_min=[750,700]", "--set bands.0.work_rates_kgm_min: bands.0: 700 does not follow 750 (each stage is harder, at most 2100)"},
		{"tolerances.vo2max_percent.full=9", "--set tolerances.vo2max_percent.full: tolerances.vo2max_percent: no credit from 8 on is not above full credit up to 9"},
		{"tolerances.pulse_bpm.full=-1", "--set tolerances.pulse_bpm.full: tolerances.pulse_bpm: full -1, none 12: both 0 or more"},
	} {
		b := Default()
		err := b.Set(c.set)
		if err == nil || err.Error() != c.says {
			t.Errorf("%s:\n got %v\nwant %s", c.set, err, c.says)
		}
		if b.Hash() != Default().Hash() {
			t.Errorf("%s: refused, yet the rulebook has changed", c.set)
		}
	}
}

// faultsOf is everything in a rulebook that cannot work.
func faultsOf(b Rulebook) (all []string) {
	b.check(func(path, format string, args ...any) { all = append(all, path+": "+fmt.Sprintf(format, args...)) })
	return all
}

// TestRefusedTogether: loads that no brake can be set to, and a part of the grade of which no point can be had, with the numbers that show it.
func TestRefusedTogether(t *testing.T) {
	b := Default()
	// 2100 kg·m/min at 40 rpm of 6 m: 2100 / 240 = 8.75 kp.
	err := b.SetAll([]string{"bands.0.work_rates_kgm_min=[750, 2100]", "cadence_rpm=40"})
	if err == nil || !strings.Contains(err.Error(), "bands.0: 2100 kg·m/min at 40 rpm are 8.8 kp, and the brake goes to 7") {
		t.Errorf("a load beyond the brake: %v", err)
	}
	if err := b.Set("bands.0.work_rates_kgm_min=[750, 2100]"); err != nil {
		t.Errorf("7 kp, to which the brake goes: %v", err)
	}
	b = Default()
	for _, r := range Rules() {
		if r.Part == Arithmetic {
			b.Points[r.Name] = 0
		}
	}
	if faults := faultsOf(b); len(faults) != 1 || !strings.Contains(faults[0], "weights.arithmetic 15: every rule of that part has 0 points, so 15 of 100 points can never be reached") {
		t.Errorf("a part without points: %v", faults)
	}
	b.Weights.Arithmetic = 0
	if faults := faultsOf(b); len(faults) > 0 {
		t.Errorf("a part without points that weighs nothing: %v", faults)
	}
}

// TestZeroIsAValue: a setting of 0 or false is one, and another setting beside it, in a flag or a file, does not miss it.
func TestZeroIsAValue(t *testing.T) {
	b := Default()
	if err := b.SetAll([]string{"max_extensions=0", "screening.repeat_when_high=false", "warm_up_s=0", "screening.rest_s=240"}); err != nil {
		t.Fatal(err)
	}
	if b.MaxExtensions != 0 || b.Screening.RepeatWhenHigh || b.WarmUpS != 0 || b.Screening.RestS != 240 {
		t.Errorf("max_extensions %d, repeat_when_high %v, warm_up_s %d, rest_s %d", b.MaxExtensions, b.Screening.RepeatWhenHigh, b.WarmUpS, b.Screening.RestS)
	}
	if err := b.Set("bands.0.below_bpm=82"); err != nil {
		t.Error(err)
	}
	if err := b.Set("tolerances.pulse_bpm={full: 0, none: 12}"); err != nil {
		t.Error(err)
	}
	if err := b.Set("tolerances.pulse_bpm.none=11"); err != nil {
		t.Error(err)
	}
}

// TestSetChanges: a path that Describe prints, set to another value, is what Describe then prints; nothing else moves.
func TestSetChanges(t *testing.T) {
	for _, c := range []struct{ set, path, value string }{
		{"steady=lt5", "steady", "lt5"},
		{"count.seconds=30", "count.seconds", "30"},
		{"count={seconds: 30}", "count.seconds", "30"},
		{"bands.0.work_rates_kgm_min=[700, 900, 1050]", "bands.0.work_rates_kgm_min", "[700,900,1050]"},
		{"bands.1.below_bpm=88", "bands.1.below_bpm", "88"},
		{"points.branch-column=3", "points.branch-column", "3"},
		{"weights.safety=50", "weights.safety", "50"},
		{"pass_percent=0", "pass_percent", "0"},
		{"tolerances.vo2max_percent.full=3", "tolerances.vo2max_percent.full", "3"},
		{"screening.repeat_when_high=false", "screening.repeat_when_high", "false"},
		{"name=evening class", "name", "evening class"},
	} {
		b := Default()
		if err := b.Set(c.set); err != nil {
			t.Errorf("%s: %v", c.set, err)
			continue
		}
		before := Default().Describe()
		for i, s := range b.Describe() {
			want := before[i].Value
			if s.Path == c.path {
				want = c.value
			}
			if s.Value != want {
				t.Errorf("%s: %s is %s, want %s", c.set, s.Path, s.Value, want)
			}
		}
	}
}

// TestSetAllChecksTogether: a value that only goes with another may come first; a path may come once.
func TestSetAllChecksTogether(t *testing.T) {
	b := Default()
	if err := b.SetAll([]string{"count.seconds=10", "steady=one_beat"}); err != nil {
		t.Error(err)
	}
	if b.Count.Seconds != 10 || b.Steady != "one_beat" {
		t.Errorf("got %d s, %s", b.Count.Seconds, b.Steady)
	}
	hash := b.Hash()
	for _, c := range []struct {
		set  []string
		says string
	}{
		{[]string{"steady=lt5", "fit=ols", "steady=le5"}, "--set steady: given twice"},
		{[]string{"fit=ols", "steady=le4"}, "--set fit, steady: steady le4: one of [le5 lt5 le6 one_beat]"},
		{[]string{"fit=ols", "ft=ols"}, "--set ft: no such field; did you mean fit?"},
	} {
		if err := b.SetAll(c.set); err == nil || err.Error() != c.says {
			t.Errorf("%v:\n got %v\nwant %s", c.set, err, c.says)
		}
	}
	if b.Hash() != hash {
		t.Error("refused, yet the rulebook has changed")
	}
}

// TestDecodeRulebook: a file says what differs; each fault stands with its place and its line.
func TestDecodeRulebook(t *testing.T) {
	for _, c := range []struct{ file, says string }{
		{"", "my.yaml: empty: nothing to read"},
		{"pass_prcent: 80\n", "my.yaml:1:1: unknown key pass_prcent; did you mean pass_percent?\n    pass_prcent: 80\n    ^"},
		{"pass_percent: 150\nsteady: le4\n", "my.yaml:1:15: pass_percent 150: 0 to 100\n    pass_percent: 150\n                  ^\nmy.yaml:2:9: steady le4: one of [le5 lt5 le6 one_beat]\n    steady: le4\n            ^"},
		{"points:\n  branch-colum: 3\n", "my.yaml:2:17: points.branch-colum: no rule of that name\n      branch-colum: 3\n                    ^"},
		{"bands: []\n", "my.yaml:1:8: bands: at least one\n    bands: []\n           ^"},
		{"a: 1\n---\nb: 2\n", "my.yaml:2:1: a second document: one file holds one\n    ---\n    ^"},
		{"based_on: tree-band\n", "my.yaml:1:11: based_on: no rulebook \"tree-band\"; did you mean three-band?\n    based_on: tree-band\n              ^"},
	} {
		if _, err := DecodeRulebook("my.yaml", []byte(c.file)); err == nil || err.Error() != c.says {
			t.Errorf("%q:\n got %v\nwant %s", c.file, err, c.says)
		}
	}
	b, err := DecodeRulebook("my.yaml", []byte("name: mine\nbased_on: three-band\nweights: {safety: 50}\npoints:\n  consent: 2\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := mustPreset(t, "three-band")
	want.Name, want.Weights.Safety, want.Points["consent"] = "mine", 50, 2
	if !bytes.Equal(b.JSON(), want.JSON()) {
		t.Errorf("got  %s\nwant %s", b.JSON(), want.JSON())
	}
}

func mustPreset(t *testing.T, name string) Rulebook {
	t.Helper()
	b, err := Preset(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestPresets: what ships can work, says what it is, and survives the way into an attempt and back.
func TestPresets(t *testing.T) {
	hashes := map[string]string{}
	for _, p := range Presets() {
		b := mustPreset(t, p.Name)
		b.check(func(path, format string, args ...any) {
			t.Errorf("%s: %s: "+format, append([]any{p.Name, path}, args...)...)
		})
		back, err := FromJSON(b.JSON())
		if err != nil || back.Hash() != b.Hash() {
			t.Errorf("%s: comes back as %s (%v)", p.Name, back.JSON(), err)
		}
		if other := hashes[b.Hash()]; other != "" {
			t.Errorf("%s is the same as %s", p.Name, other)
		}
		hashes[b.Hash()] = p.Name
	}
	for _, band := range mustPreset(t, "three-band").Bands {
		if !strings.Contains(band.HowKnown, "from memory") {
			t.Errorf("a band from memory does not say so: %+v", band)
		}
	}
	if _, err := Preset("forband"); err == nil || err.Error() != `no rulebook "forband"; did you mean four-band?` {
		t.Errorf("got %v", err)
	}
}

// TestFromJSONRefuses: a rulebook in an attempt that could never have been in force.
func TestFromJSONRefuses(t *testing.T) {
	for _, raw := range []string{`{}`, `null`, `[]`, `{"bands":[]}`, strings.Replace(string(Default().JSON()), `"pass_percent":85`, `"pass_percent":850`, 1)} {
		if b, err := FromJSON([]byte(raw)); err == nil {
			t.Errorf("%.40s: taken as %s", raw, b.Name)
		}
	}
}

// TestDescribe: every field has a value, a meaning and a source, and stands once.
func TestDescribe(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Default().Describe() {
		if s.Value == "" || s.Meaning == "" || s.Source == "" {
			t.Errorf("%+v lacks something", s)
		}
		if seen[s.Path] {
			t.Errorf("%s stands twice", s.Path)
		}
		seen[s.Path] = true
	}
	for _, r := range Rules() {
		if !seen["points."+r.Name] {
			t.Errorf("points.%s is not described", r.Name)
		}
	}
}

// FuzzDecodeRulebook: a file is a rulebook that can work, or every fault has its place and prints clean; never a panic.
func FuzzDecodeRulebook(f *testing.F) {
	f.Add([]byte("name: ours\nbased_on: three-band\nsteady: lt5\n"))
	f.Add([]byte("bands: [{below_bpm: 86, work_rates_kgm_min: [600, 750]}, {work_rates_kgm_min: [300]}]\n"))
	f.Add([]byte("count: {seconds: 010}\n---\nx: &a [*a]\n"))
	f.Add([]byte("based_on: based_on\npoints: {branch-column: .inf}\n"))
	f.Add([]byte("\ufeffweights: {safety: 1e308, validity: 1e308}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := DecodeRulebook("fuzz.yaml", data)
		if err != nil {
			if err.Error() == "" {
				t.Errorf("a fault without words: %#v", err)
			}
			return
		}
		var again Rulebook
		if again, err = DecodeRulebook("fuzz.yaml", data); err != nil || again.Hash() != b.Hash() {
			t.Errorf("the same file reads as another rulebook: %v", err)
		}
		if faults := faultsOf(b); len(faults) > 0 {
			t.Errorf("taken, yet it cannot work: %v", faults)
		}
		b.Describe()
	})
}

// FuzzSet: what is set can work and is printed so that it can be set again to the same; else the rulebook stays as it was and the fault has words.
func FuzzSet(f *testing.F) {
	for _, s := range Default().Describe() {
		f.Add(s.Path + "=" + s.Value)
	}
	for _, a := range []string{"steady=lt5", "bands.0.below_bpm=86", "bands=[]", "points={told: 3}", "bands.99.below_bpm=1", "a: b=c", "=", "weights.safety=.nan", "count.seconds=010",
		"bands.0.work_rates_kgm_min=[600, 750]", "name=\"a\\e[31mb\"", "steady=&a le5", "ceiling={of: max_hr, fraction: 0.8}"} {
		f.Add(a)
	}
	f.Fuzz(func(t *testing.T, assignment string) {
		before := Default()
		b := Default()
		if err := b.Set(assignment); err != nil {
			if err.Error() == "" || b.Hash() != before.Hash() {
				t.Errorf("%q: %v; changed: %v", assignment, err, b.Hash() != before.Hash())
			}
			return
		}
		if faults := faultsOf(b); len(faults) > 0 {
			t.Errorf("%q: taken, yet it cannot work: %v", assignment, faults)
		}
		again := Default()
		if err := again.Set(assignment); err != nil || again.Hash() != b.Hash() {
			t.Errorf("%q: another rulebook the second time: %v", assignment, err)
		}
		for _, d := range Diff(before, b) {
			one := b
			if d.Second == "" || inList(d.Path) {
				continue
			}
			if err := one.Set(d.Path + "=" + d.Second); err != nil || one.Hash() != b.Hash() {
				t.Errorf("%q: %s is printed as %q, which is read as another: %v", assignment, d.Path, d.Second, err)
			}
		}
	})
}
