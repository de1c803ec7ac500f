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
