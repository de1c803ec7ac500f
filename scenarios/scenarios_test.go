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

func TestSeeds(t *testing.T) {
	for _, text := range []string{"-1", "1.5", "abc", "", "1000000000000000", "99999999999999999999999"} {
		if s, err := ParseSeed(text); err == nil {
			t.Errorf("%q was read as seed %d", text, s)
		}
	}
	if s, err := ParseSeed("999999999999999"); err != nil || s != MaxSeed {
		t.Errorf("the largest seed: %v, %v", s, err)
	}
	if Seed(1).Stream("a").Uint64() == Seed(1).Stream("b").Uint64() || Seed(1).Stream("a").Uint64() != Seed(1).Stream("a").Uint64() {
		t.Error("streams are not labelled")
	}
}

const good = `id: test
title: Somebody
spoiler: Nothing.
teaches: Nothing.
difficulty: 1
right_act: run_to_end
who:
  sexes: [M]
  age_y: {low: 20, high: 30}
names:
  - {name: A Person, sex: M, work: works}
health: []
voice:
  greeting: [Hello.]
  consent: [Yes.]
  looks: [Walks in.]
sources: [CHOICE-CASES]
`

func TestEveryFaultOfACaseIsToldWithItsPlace(t *testing.T) {
	if _, err := DecodeCase("good.yaml", []byte(good)); err != nil {
		t.Fatalf("the good case: %v", err)
	}
	if _, err := DecodeCase("bom.yaml", []byte("\ufeff"+good)); err != nil {
		t.Errorf("a byte-order mark: %v", err)
	}
	swap := func(from, to string) string {
		if !strings.Contains(good, from) {
			t.Fatalf("%q is not in the good case", from)
		}
		return strings.Replace(good, from, to, 1)
	}
	for _, c := range []struct{ name, text, place, says string }{
		{"wrong key", swap("spoiler: Nothing.", "spolier: Nothing."), "x.yaml:3:1", "did you mean spoiler?"},
		{"missing key", swap("teaches: Nothing.\n", ""), "x.yaml:1:1", "teaches is missing"},
		{"text for a number", swap("difficulty: 1", "difficulty: one"), "x.yaml:5:13", "must be a whole number"},
		{"fraction", swap("difficulty: 1", "difficulty: 1.5"), "x.yaml:5:13", "whole number"},
		{"octal look", swap("low: 20", "low: 020"), "x.yaml:9:16", "looks octal"},
		{"null", swap("spoiler: Nothing.", "spoiler:"), "x.yaml:3:9", "is empty"},
		{"out of range", swap("low: 20, high: 30", "low: 12, high: 30"), "x.yaml:9:10", "leaves 18–79"},
		{"upside down", swap("low: 20, high: 30", "low: 40, high: 30"), "x.yaml:9:10", "above high"},
		{"list for a table", swap("who:\n  sexes: [M]\n  age_y: {low: 20, high: 30}", "who: [1]"), "x.yaml:7:6", "table of key: value"},
		{"twice", swap("difficulty: 1", "difficulty: 1\ndifficulty: 2"), "x.yaml:6:1", "given twice"},
		{"second document", good + "---\nid: b\n", "x.yaml:", "second document"},
		{"alias", swap("looks: [Walks in.]", "looks: &a [Walks in.]"), "x.yaml:16:10", "aliases"},
		{"sex", swap("sexes: [M]", "sexes: [X]"), "x.yaml:8:11", "M or F"},
		{"act", swap("run_to_end", "run"), "x.yaml:6:12", "one of"},
		{"question", swap("health: []", "health: [{question: moon, says: [no]}]"), "x.yaml:12:21", "one of heart"},
		{"sign", swap("looks: [Walks in.]", "looks: [Walks in.]\n  signs: {moon/seen/1: [a]}"), "x.yaml:17:", "sign/channel/grade"},
		{"mechanism", good + "ills: [{angina: {rate_pressure_product: {low: 1, high: 2}}}]\n", "x.yaml:18:8", "leaves 9000–30000"},
		{"not YAML", "id: [", "x.yaml:", "not YAML"},
		{"empty", "", "x.yaml:", "empty"},
		{"only a comment", "# nothing\n", "x.yaml:", "empty"},
		{"deep", "id: " + strings.Repeat("[", 20000), "x.yaml:", ""},
		{"huge", "id: " + strings.Repeat("a", maxFile), "x.yaml:", "at most"},
	} {
		_, err := DecodeCase("x.yaml", []byte(c.text))
		faults, ok := err.(Faults)
		if !ok {
			t.Errorf("%s: %v; want Faults", c.name, err)
			continue
		}
		if !strings.Contains(faults.Error(), c.place) || !strings.Contains(faults.Error(), c.says) {
			t.Errorf("%s:\n%v\nwant %s … %s", c.name, faults, c.place, c.says)
		}
	}
	_, err := DecodeCase("x.yaml", []byte(strings.NewReplacer("difficulty: 1", "difficulty: x", "low: 20", "low: 020", "title:", "titel:").Replace(good)))
	if f, ok := err.(Faults); !ok || len(f) < 4 {
		t.Errorf("several faults at once: %v", err)
	}
}

func FuzzDecodeCase(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("a: &a [*a, *a]"))
	f.Add([]byte("\ufeff---\n{"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := DecodeCase("fuzz.yaml", data)
		if err == nil {
			if c.Hash == "" || len(c.Who.Sexes) == 0 {
				t.Errorf("a case without what it needs was taken: %+v", c)
			}
			c.Draw(1).Body()
		} else if err.Error() == "" {
			t.Error("a fault without words")
		}
	})
}

func TestNearest(t *testing.T) {
	names := []string{"uneventful", "tuesday-noon", "thursday-three"}
	for word, want := range map[string]string{"uneventfull": "uneventful", "tuesdaynoon": "tuesday-noon", "zzz": "", "thursday-htree": "thursday-three"} {
		if got := Nearest(word, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
