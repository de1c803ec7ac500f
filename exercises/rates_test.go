package exercises

import (
	"encoding/json"
	"testing"

	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// The true rates are told of a closed attempt only, and are those of the perfect readings.
func TestRatesOfAClosedAttempt(t *testing.T) {
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(3)
	s := Begin(NewHeader(sc, json.RawMessage(`{}`), "", "drill", false), sc)
	toStage(t, s, 0.5)
	do(t, s, Command{Act: Wait, Seconds: 180})
	if _, ok := s.RatesTo(s.State().ClockS); ok {
		t.Error("the truth is told before the sheet is handed in")
	}
	lines := do(t, s, Command{Act: CoolDown, ResistanceKp: 0.5}, Command{Act: Wait, Seconds: 120}, Command{Act: Stop}, Command{Act: Release}, Command{Act: HandIn})
	minutes := 0
	for _, e := range lines[len(lines)-1].Events {
		closing, ok := e.Fact.(HandedIn)
		if !ok {
			continue
		}
		for _, m := range closing.Minutes {
			minutes++
			if r, ok := s.RatesTo(m.AtS); !ok || r.Perfect != unit.HR(m.HRbpm) || r.Settled < r.Perfect-5 || r.Settled > r.Perfect+15 {
				t.Errorf("stage %d, minute %d: %+v, want %v", m.Stage, m.Minute, r, m.HRbpm)
			}
		}
	}
	if _, ok := s.RatesTo(s.State().ClockS + 1); ok || minutes < 3 {
		t.Errorf("a second that has not come is told, or %d minutes", minutes)
	}
}
