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
	"kilopond/physiology/unit"
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

// measured are the signs that no words tell: fingers and cuff do. The three of before the test are told by the health answers as well.
var measured = map[body.Sign]bool{
	body.PressureFall: true, body.HighRestPressure: true, body.IrregularPulse: true, body.RateFlat: true, body.PressureHigh: true, body.DiastolicRise: true,
}

// Every sign that can be told or seen has words of its own at every grade that it can have on a channel, from the first on.
func TestEverySignHasWords(t *testing.T) {
	first := map[body.Sign]map[body.Channel]int{ // the lowest grade at which a channel carries the sign
		body.ChestDiscomfort:  {body.Found: 1, body.Seen: 2, body.Unasked: 3},
		body.Lightheaded:      {body.Found: 1, body.Seen: 1, body.Unasked: 2},
		body.Pallor:           {body.Seen: 1},
		body.CadenceLost:      {body.Seen: 1},
		body.AskedToStop:      {body.Unasked: 3},
		body.SevereExertion:   {body.Seen: 1},
		body.BreathlessAtRest: {body.Found: 1, body.Seen: 1},
		body.UnwellToday:      {body.Found: 1, body.Seen: 1},
		body.LegPain:          {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.KneePain:         {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.Wheeze:           {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.Breathless:       {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.ColdSweat:        {body.Found: 1, body.Seen: 1},
		body.Shaky:            {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.Confused:         {body.Found: 1, body.Seen: 1, body.Unasked: 1},
		body.Nausea:           {body.Found: 1, body.Seen: 1, body.Unasked: 3},
		body.Overheated:       {body.Found: 1, body.Seen: 1, body.Unasked: 3},
	}
	c, err := Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	s := c.Draw(1)
	for _, sign := range body.Signs() {
		if measured[sign] || sign == body.Harmless {
			continue
		}
		if len(first[sign]) == 0 {
			t.Errorf("%s has no words", sign)
		}
		for ch, low := range first[sign] {
			for grade := low; grade <= 4; grade++ {
				for nth := range 4 {
					for _, m := range moments() {
						if line := s.Line(sign, ch, grade, nth, m); line == "" || len(strings.Fields(line)) > 12 {
							t.Errorf("%s/%s/%d: %q", sign, ch, grade, line)
						}
					}
				}
			}
			if low > 1 && s.Line(sign, ch, low-1, 0, Moment{Pedalling: true}) != "" {
				t.Errorf("%s/%s/%d has words, so the table above is behind", sign, ch, low-1)
			}
		}
	}
	reached := map[string]bool{}
	for rpe := 6.0; rpe <= 20; rpe++ {
		for _, m := range moments() {
			m.RPE = rpe
			reached[m.Effort()] = true
			for nth := range 4 {
				if s.Talk(m.Effort(), nth) == "" || s.Look(m.Effort(), nth) == "" || s.Rating(rpe, nth) == "" {
					t.Errorf("nothing to say at %+v", m)
				}
			}
		}
	}
	if len(reached) != len(Efforts()) {
		t.Errorf("only %v of %v is ever met", reached, Efforts())
	}
}

// Somebody who is warm or short of breath on arrival has not worked, and has nothing to say of legs or of how it went.
func TestNobodyRestsFromWorkThatHasNotBegun(t *testing.T) {
	for place, want := range map[body.Posture]string{body.Standing: "standing", body.Chair: "none", body.OnCycle: "none", body.Lying: "lying"} {
		if got := (Moment{RPE: 12, Posture: place}).Effort(); got != want {
			t.Errorf("%s before the work: %q, want %q", place, got, want)
		}
	}
	if got := (Moment{RPE: 12, Posture: body.Chair, Begun: true, Ended: true}).Effort(); got != "after" {
		t.Errorf("on the chair after the work: %q", got)
	}
}

// moments are the places and times at which somebody may be asked.
func moments() []Moment {
	var all []Moment
	for _, ended := range []bool{false, true} {
		all = append(all, Moment{Posture: body.OnCycle, Pedalling: true, Begun: true, Ended: ended})
		for _, p := range []body.Posture{body.OnCycle, body.Chair, body.Standing, body.Lying} {
			all = append(all, Moment{Posture: p, Begun: ended, Ended: ended}, Moment{Posture: p, Begun: true, Ended: ended})
		}
	}
	return all
}

// Whatever a body of any case shows, in a test that goes on far too long and ends standing still, has words.
func TestWhatIsShownHasWords(t *testing.T) {
	shown := map[body.Symptom]int{}
	for _, c := range cases(t) {
		for seed := range Seed(8) {
			s := c.Draw(seed)
			b := s.Body()
			set := body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: 50}
			for second := range 2100 {
				switch {
				case second == 1500:
					set = body.Setting{Posture: body.Standing}
				case second < 1500 && second >= 60:
					set.Resistance = unit.Resistance(0.5 * float64(1+second/180))
				}
				b.Step(set)
				for _, y := range b.Symptoms() {
					if measured[y.Sign] && y.Channel == body.Found {
						continue
					}
					shown[y]++
					if line := s.Line(y.Sign, y.Channel, y.Grade, second, Moment{Pedalling: set.Pedalling, Posture: set.Posture}); line == "" {
						t.Fatalf("%s seed %d: no words for %s/%s/%d (pedalling %v)", c.ID, seed, y.Sign, y.Channel, y.Grade, set.Pedalling)
					}
				}
			}
		}
	}
	t.Logf("%d kinds of sign, channel and grade were shown", len(shown))
}

func TestNearest(t *testing.T) {
	names := []string{"uneventful", "tuesday-noon", "thursday-three"}
	for word, want := range map[string]string{"uneventfull": "uneventful", "tuesdaynoon": "tuesday-noon", "zzz": "", "thursday-htree": "thursday-three"} {
		if got := Nearest(word, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
