package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
)

func cases(t *testing.T) []Case {
	t.Helper()
	all, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 4 {
		t.Fatalf("%d cases ship, want at least 4", len(all))
	}
	return all
}

func TestSamenessOfSubjects(t *testing.T) {
	h := sha256.New()
	for _, c := range cases(t) {
		for seed := range Seed(100) {
			s := c.Draw(seed)
			raw, err := json.Marshal([]any{s.Truth(), s.Name, s.Health, s.Greeting, s.Arriving, s.BrakeZero, s.KneeDeg, s.Day})
			if err != nil {
				t.Fatal(err)
			}
			h.Write(raw)
		}
	}
	got := hex.EncodeToString(h.Sum(nil))
	const path = "testdata/sameness.txt"
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if strings.TrimSpace(string(want)) != got {
		t.Errorf("subjects hash to %s, want %s: if they were meant to change, Model rises", got, want)
	}
}

func TestSubjectsStayWithinTheirCase(t *testing.T) {
	for _, c := range cases(t) {
		names := map[string]bool{}
		for seed := range Seed(200) {
			s := c.Draw(seed)
			tr := s.Traits
			names[s.Name.Name] = true
			if float64(tr.Age) < c.Who.AgeY.Low || float64(tr.Age) > c.Who.AgeY.High {
				t.Fatalf("%s seed %d: age %v", c.ID, seed, tr.Age)
			}
			if s.Name.Sex != tr.Sex || s.Greeting == "" || s.Consent == "" || s.Arriving == "" || len(s.Health) != len(Questions()) {
				t.Fatalf("%s seed %d: incomplete: %+v", c.ID, seed, s)
			}
			for _, h := range s.Health {
				if h.Says == "" {
					t.Fatalf("%s seed %d: no answer to %s", c.ID, seed, h.Key)
				}
			}
			if c.RightAct == DoNotTest && len(s.Truth().Flags) == 0 {
				t.Errorf("%s seed %d: should not be tested, but no answer says so", c.ID, seed)
			}
			if c.RightAct != DoNotTest && len(s.Truth().Flags) > 0 {
				t.Errorf("%s seed %d: may be tested, but %v is flagged", c.ID, seed, s.Truth().Flags)
			}
		}
		if len(names) < 5 {
			t.Errorf("%s: only %d names occur", c.ID, len(names))
		}
	}
}

// The uneventful case brings people into every band of the branch table.
func TestAllBandsOccur(t *testing.T) {
	c, err := Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	bands := map[int]int{}
	for seed := range Seed(300) {
		b := c.Draw(seed).Body()
		set := body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: 50}
		for range 120 {
			b.Step(set)
		}
		set.Resistance = 0.5
		for range 180 {
			b.Step(set)
		}
		band, _ := protocol.Branch(protocol.Default(), b.Now().HR)
		bands[band]++
	}
	t.Logf("bands of 300 people: %v", bands)
	for band := range 4 {
		if bands[band] < 5 {
			t.Errorf("band %d occurs %d times in 300", band+1, bands[band])
		}
	}
}

func TestNeutralTitles(t *testing.T) {
	for _, c := range cases(t) {
		for _, word := range []string{"chest", "angina", "pressure", "heart", "faint", "stop", "normal", "abnormal"} {
			if strings.Contains(strings.ToLower(c.Title), word) {
				t.Errorf("%s: the title %q tells what it is about (%s)", c.ID, c.Title, word)
			}
		}
	}
}

// Whatever a body can show has words, and normal and abnormal answers are of much the same length.
func TestEverySignHasWords(t *testing.T) {
	c, err := Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	s := c.Draw(1)
	for _, x := range []struct {
		sign  body.Sign
		ch    body.Channel
		grade int
	}{
		{body.ChestDiscomfort, body.Found, 1}, {body.ChestDiscomfort, body.Seen, 2}, {body.ChestDiscomfort, body.Unasked, 3}, {body.ChestDiscomfort, body.Unasked, 4},
		{body.Lightheaded, body.Found, 2}, {body.Lightheaded, body.Unasked, 3}, {body.Pallor, body.Seen, 1}, {body.Pallor, body.Seen, 3},
		{body.AskedToStop, body.Unasked, 3}, {body.AskedToStop, body.Unasked, 4}, {body.CadenceLost, body.Seen, 4}, {body.SevereExertion, body.Seen, 4},
	} {
		for nth := range 4 {
			if line := s.Line(x.sign, x.ch, x.grade, nth); line == "" || len(strings.Fields(line)) > 12 {
				t.Errorf("%s/%s/%d: %q", x.sign, x.ch, x.grade, line)
			}
		}
	}
	for rpe := 6.0; rpe <= 20; rpe++ {
		for nth := range 4 {
			if s.Talk(rpe, true, nth) == "" || s.Look(rpe, true, nth) == "" || s.Talk(rpe, false, nth) == "" || s.Look(rpe, false, nth) == "" || s.Rating(rpe, nth) == "" {
				t.Errorf("nothing to say at exertion %v", rpe)
			}
		}
	}
}

func TestNearest(t *testing.T) {
	names := []string{"uneventful", "tuesday-noon", "thursday-three"}
	for word, want := range map[string]string{"uneventfull": "uneventful", "tuesdaynoon": "tuesday-noon", "zzz": "", "thursday-htree": "thursday-three"} {
		if got := Nearest(word, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
