package exercises

import (
	"testing"

	"kilopond/physiology/body"
)

// While the work lasts, a trouble that nobody answers is said again each half minute and interrupts. What is known and lasts after it is said and seen less
// often, and interrupts nothing; what is worse still does.
func TestWhatIsKnownInterruptsNothingAfterTheWork(t *testing.T) {
	told := func(s *Session, at int, y body.Symptom) (events int, cut bool) {
		s.state.ClockS = at
		s.events, s.cut = nil, false
		s.listen([]body.Symptom{y}, true)
		return len(s.events), s.cut
	}
	for _, c := range []struct {
		what string
		y    body.Symptom
	}{{"said", body.Symptom{Sign: body.ChestDiscomfort, Channel: body.Unasked, Grade: 3}}, {"seen", body.Symptom{Sign: body.ChestDiscomfort, Channel: body.Seen, Grade: 3}}} {
		s := roomed(t, 1, nil)
		toStage(t, s, 1)
		from := s.state.ClockS
		for _, x := range []struct {
			afterS int
			events int
			cut    bool
		}{{0, 1, true}, {20, 0, false}, {30, 1, true}, {60, 1, true}} {
			if n, cut := told(s, from+x.afterS, c.y); n != x.events || cut != x.cut {
				t.Errorf("%s at work, %d s later: %d events, interrupted %v", c.what, x.afterS, n, cut)
			}
		}
		s.state.EndedAtS = from + 61
		for _, x := range []struct {
			afterS, grade int
			events        int
			cut           bool
		}{{100, 3, 0, false}, {120, 3, 1, false}, {150, 3, 0, false}, {160, 4, 1, true}, {220, 4, 1, false}} {
			y := c.y
			y.Grade = x.grade
			if n, cut := told(s, from+x.afterS, y); n != x.events || cut != x.cut {
				t.Errorf("%s after the work, %d s later, grade %d: %d events, interrupted %v", c.what, x.afterS, x.grade, n, cut)
			}
		}
		easing, want := c.y, map[string]int{"said": 0, "seen": 1}[c.what] // "Wait. Something's squeezing." is for what begins, not for what goes
		if n, cut := told(s, from+280, easing); n != want || cut {
			t.Errorf("%s while it eases: %d events, interrupted %v, want %d", c.what, n, cut, want)
		}
	}
}
