package exercises

import (
	"encoding/json"
	"testing"

	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// pained begins a test on somebody whose chest hurts from early on, and brings them to a stage in which it can be found by asking.
func pained(t *testing.T, seed scenarios.Seed, kp float64, minimises, disagrees bool) (*Session, bool) {
	t.Helper()
	c, err := scenarios.Load("thursday-three")
	if err != nil {
		t.Fatal(err)
	}
	c.Minimises, c.Disagrees = minimises, disagrees
	sc := c.Draw(seed)
	s := Begin(NewHeader(sc, json.RawMessage(`{}`), "", "drill", false), sc)
	toStage(t, s, kp)
	for range 900 {
		found, more := false, false
		for _, y := range s.body.Symptoms() {
			if y.Sign == body.ChestDiscomfort {
				found, more = found || y.Channel == body.Found, more || y.Grade > 2
			}
		}
		if more || !s.state.Pedalling {
			return nil, false
		}
		if found {
			return s, true
		}
		do(t, s, Command{Act: Wait, Seconds: 1})
	}
	return nil, false
}

// isChest says whether the words stand for the chest, as an experienced listener would understand them.
func isChest(s *Session, words string) bool {
	for _, m := range s.subject.Case.Meanings() {
		if m.Words == words && m.Sign == body.ChestDiscomfort {
			return true
		}
	}
	return false
}

func askHow(t *testing.T, s *Session) string {
	t.Helper()
	for _, e := range do(t, s, Command{Act: Ask, What: "symptoms"})[0].Events {
		if f, ok := e.Fact.(Said); ok && f.To == "symptoms" {
			return f.Words
		}
	}
	t.Fatal("a question was not answered")
	return ""
}

// Who minimises waves the first question away and answers the second; the truth counts the sign as found only from then on.
func TestMinimisersAreAskedTwice(t *testing.T) {
	tried := 0
	for seed := range scenarios.Seed(40) {
		s, ok := pained(t, seed, 1, true, false)
		if !ok {
			continue
		}
		tried++
		first := askHow(t, s)
		waved := s.state.ClockS
		if isChest(s, first) {
			t.Errorf("seed %d: the first question was answered with %q", seed, first)
		}
		if _, _, still := s.worst(body.Found, func(body.Sign) int { return 0 }); !still {
			continue // it has gone in the seconds that the answer took
		}
		second := askHow(t, s)
		if _, _, still := s.worst(body.Found, func(body.Sign) int { return 0 }); !still {
			continue // or in those of the second
		}
		if !isChest(s, second) {
			t.Errorf("seed %d: the second question was answered with %q", seed, second)
		}
		for _, span := range s.truth.signs {
			if span.Sign == string(body.ChestDiscomfort) && span.Channel == string(body.Found) && span.FromS <= waved {
				t.Errorf("seed %d: asked at %d and told nothing, but the truth says it could be found from %d to %d", seed, waved, span.FromS, span.ToS)
			}
		}
	}
	if tried < 10 {
		t.Errorf("tried on %d people only", tried)
	}
}

// A minimiser who is never asked can be found out from the minute in which a question was due, or as soon as it is too bad to hide.
func TestMinimisersMustStillBeAsked(t *testing.T) {
	tried := 0
	for seed := range scenarios.Seed(300) {
		s, ok := pained(t, seed, 0.5, true, false)
		if !ok {
			continue
		}
		began, mild := s.state.ClockS, true
		for s.state.ClockS < began+dueS+5 && mild {
			do(t, s, Command{Act: Wait, Seconds: 1})
			for _, y := range s.body.Symptoms() {
				mild = mild && y.Grade <= 2
			}
		}
		if !mild {
			continue
		}
		for _, span := range s.truth.signs {
			if span.Sign == string(body.ChestDiscomfort) && span.Channel == string(body.Found) {
				tried++
				if span.FromS < began+dueS {
					t.Errorf("seed %d: there from %d, found from %d", seed, began, span.FromS)
				}
				break
			}
		}
	}
	if tried < 5 {
		t.Errorf("tried on %d people only", tried)
	}
}

// In whom form and speech disagree, a slight trouble is denied as often as one asks, and shows all the same.
func TestFormAndSpeechDisagree(t *testing.T) {
	tried, shown := 0, 0
	for seed := range scenarios.Seed(40) {
		s, ok := pained(t, seed, 1, false, true)
		if !ok {
			continue
		}
		tried++
		for range 12 {
			words, worst := askHow(t, s), 0 // the answer is of the second in which it is given
			for _, y := range s.body.Symptoms() {
				if y.Sign == body.ChestDiscomfort {
					worst = max(worst, y.Grade)
				}
			}
			if !s.state.Pedalling || worst > 2 {
				break
			}
			if isChest(s, words) {
				t.Errorf("seed %d: says %q", seed, words)
			}
		}
		for _, span := range s.truth.signs {
			if span.Sign == string(body.ChestDiscomfort) && span.Channel == string(body.Seen) {
				shown++
				break
			}
		}
	}
	if tried < 10 || shown < 5 {
		t.Errorf("tried on %d people, seen in %d", tried, shown)
	}
}
