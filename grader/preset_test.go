package grader

import "testing"

// Every rulebook that ships can work, is told apart from the others by its rules, and reads back from an attempt.
func TestPresetsCanWork(t *testing.T) {
	hashes := map[string]string{}
	for _, p := range Presets() {
		b, err := Preset(p.Name)
		if err != nil || b.Name != p.Name || p.Says == "" {
			t.Fatalf("%s: %v %q", p.Name, err, b.Name)
		}
		back, err := FromJSON(b.JSON())
		if err != nil || back.Hash() != b.Hash() {
			t.Errorf("%s does not read back: %v", p.Name, err)
		}
		if other := hashes[b.Hash()]; other != "" {
			t.Errorf("%s is %s again", p.Name, other)
		}
		hashes[b.Hash()] = p.Name
		if d := Diff(Default(), b); (len(d) == 0) != (p.Name == "four-band") {
			t.Errorf("%s differs from the default in %v", p.Name, d)
		}
	}
}

// Figures that rulebook check prints, by arithmetic: 10-s counts and 5 bpm in a steady person (two counts of random phase differ by a beat,
// 6 bpm, with 2p(1−p), 1/3 on average); the window of 70 years, 0.85 × 150; 150 bpm at 70 years, one SD of 10 below 208 − 0.7 × 70 = 159.
func TestConsequencesAreWorkedOut(t *testing.T) {
	says := func(b Rulebook, i int) Consequence { return b.Consequences()[i] }
	b := Default()
	b.Count.Seconds = 10
	if c := says(b, 0); !c.Doubt || c.Says != "a 10-s count moves in steps of 6 bpm; of people who are perfectly steady near 120 bpm it calls 33 % unsteady (le5)" {
		t.Errorf("%+v", c)
	}
	if c := says(Default(), 3); c.Doubt || c.Says != "at 70 years, resting at 70 bpm, a stage counts from 110 to 127.5 bpm" {
		t.Errorf("%+v", c)
	}
	b = Default()
	b.WindowLow = 120
	if c := says(b, 3); !c.Doubt {
		t.Errorf("a window of 7.5 bpm is not doubted: %+v", c)
	}
	b, err := Preset("ceiling-150")
	if err != nil {
		t.Fatal(err)
	}
	if c := says(b, 3); !c.Doubt || c.Says != "at 70 years, resting at 70 bpm, a stage counts from 110 to 150.0 bpm; of people of that age about 18 % never reach the ceiling of 150 bpm" {
		t.Errorf("%+v", c)
	}
	b = Default()
	b.StageS, b.Pressure.FromS = 120, 60
	if c := says(b, 4); !c.Doubt {
		t.Errorf("45 s for a pressure of 54–76 s is not doubted: %+v", c)
	}
	b, err = Preset("three-band")
	if err != nil {
		t.Fatal(err)
	}
	if c := says(b, 5); !c.Doubt || c.Says != "3 bands; after 150 kg·m/min the next load is 600 below 86 bpm, 450 up to 100 bpm, 300 above; part of this table is from memory: confirm it" {
		t.Errorf("%+v", c)
	}
}
