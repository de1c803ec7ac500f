package scenarios

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

// Cases of one person bring the same person for the same seed: who they are, what they are called and what they do; only what the file says has
// changed. Another seed is somebody else, and the day is another one.
func TestTheSamePersonComesAgain(t *testing.T) {
	first := map[string]Case{}
	later := map[string]Case{}
	for _, c := range cases(t) {
		switch {
		case c.Person == "":
		case c.Since == nil:
			first[c.Person] = c
		default:
			later[c.Person] = c
		}
	}
	if len(later) < 3 {
		t.Fatalf("%d people come again, want at least 3", len(later))
	}
	for person, b := range later {
		a, ok := first[person]
		if !ok {
			t.Errorf("%s: %s has no earlier test", b.ID, person)
			continue
		}
		if !reflect.DeepEqual(a.Who, b.Who) || !reflect.DeepEqual(a.Names, b.Names) {
			t.Errorf("%s and %s: who may walk in, or the names, differ", a.ID, b.ID)
		}
		days := 0
		for seed := range Seed(60) {
			x, y := a.Draw(seed), b.Draw(seed)
			if x.Name != y.Name || x.Traits.Age != y.Traits.Age || x.Traits.Height != y.Traits.Height || x.Traits.Mass != y.Traits.Mass ||
				x.Traits.O2Cost != y.Traits.O2Cost || x.Traits.Sex != y.Traits.Sex {
				t.Fatalf("%s seed %d: %v and %v are not the same person", person, seed, x.Name, y.Name)
			}
			if len(b.Ills) == 0 {
				more := 100 * (float64(y.Traits.VO2Max/x.Traits.VO2Max) - 1)
				if more < b.Since.VO2Max.Low-1e-6 || more > b.Since.VO2Max.High+1e-6 {
					t.Fatalf("%s seed %d: VO2max changed by %.2f %%, want %v–%v", person, seed, more, b.Since.VO2Max.Low, b.Since.VO2Max.High)
				}
				if x.Traits.TrueMaxHR != y.Traits.TrueMaxHR {
					t.Fatalf("%s seed %d: the maximum heart rate has changed", person, seed)
				}
			}
			if x.Day != y.Day {
				days++
			}
		}
		if days < 60 {
			t.Errorf("%s: %d of 60 people come on the same day", person, 60-days)
		}
	}
}

// What a case bounds by itself is within the bounds.
func TestFixedTraits(t *testing.T) {
	seen := 0
	for _, c := range cases(t) {
		for seed := range Seed(20) {
			s := c.Draw(seed)
			for _, x := range []struct {
				r   *Range
				got float64
			}{
				{c.Who.ArmCM, float64(s.Traits.Arm)}, {c.Who.SettlingZ, s.Traits.HRTauZ},
				{c.Who.MaxHRAbove, float64(s.Traits.TrueMaxHR) - (220 - float64(s.Traits.Age))},
			} {
				if x.r == nil {
					continue
				}
				seen++
				if math.IsNaN(x.got) || x.got < x.r.Low-1e-6 || x.got > x.r.High+1e-6 {
					t.Errorf("%s seed %d: %v is not within %v–%v", c.ID, seed, x.got, x.r.Low, x.r.High)
				}
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d traits are fixed by a case", seen)
	}
}

// Faults of the newer fields, each at its line.
func TestFaultsOfPersonAndCompetency(t *testing.T) {
	data, err := library.ReadFile("library/wednesday-eight.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ from, to, want string }{
		{"person: alder", "person: Alder", "person Alder: small letters"},
		{"person: alder", "since: {weeks: 8, vo2max_percent: {low: 1, high: 2}}", "since: a change needs somebody who was here before"},
		{"person: alder", "person: alder\nsince: {weeks: 0, vo2max_percent: {low: 1, high: 2}}", "since.weeks 0: 1 to 520"},
		{"person: alder", "person: alder\nsince: {weeks: 8, vo2max_percent: {low: 1, high: 90}}", "since.vo2max_percent: 1–90 leaves -40–40"},
		{"  fitness_z:", "  first_stage_hr_bpm: {low: 90, high: 95}\n  fitness_z:", "it chooses people by the day as well"},
		{"competency: [estimate]", "competency: [estimate, guess]", "competency guess: one of screen"},
		{"competency: [estimate]", "competency: [estimate, estimate]", "competency estimate is given twice"},
	} {
		if !strings.Contains(string(data), c.from) {
			t.Fatalf("the case has no %q", c.from)
		}
		_, err := DecodeCase("x.yaml", []byte(strings.Replace(string(data), c.from, c.to, 1)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v, want %q", c.to, c.from, err, c.want)
		}
	}
}
