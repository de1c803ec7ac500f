package exercises

import (
	"testing"

	"kilopond/scenarios"
)

// Whoever cries out while being brought to the chair is brought there all the same: the act lasts as long as it lasts, the words are told in it, and the
// place is the new one only at its end.
func TestAnActIsDoneWhenItsTimeIsOver(t *testing.T) {
	spoken := 0
	for seed := range scenarios.Seed(60) {
		s := begin(t, "thursday-three", seed)
		toStage(t, s, 2.5)
		for range 60 {
			if l := do(t, s, Command{Act: Wait, Seconds: 20})[0]; l.AtS-s.State().StageFromS > 400 || !s.State().Pedalling {
				break
			}
		}
		do(t, s, Command{Act: Stop})
		for _, c := range []Command{{Act: Seat, What: "chair"}, {Act: Call, What: "ambulance"}, {Act: Seat, What: "lying"}, {Act: Seat, What: "chair"}} {
			from := s.State().ClockS
			l := do(t, s, c)[0]
			if took := l.AtS - from; took != durations[c.Act][c.What] {
				t.Fatalf("seed %d: %s %s took %d s", seed, c.Act, c.What, took)
			}
			last := l.Events[len(l.Events)-1]
			switch last.Fact.(type) {
			case Seated, Called:
			default:
				t.Fatalf("seed %d: %s %s ends with %+v", seed, c.Act, c.What, last)
			}
			for _, e := range l.Events {
				if f, ok := e.Fact.(Said); ok && f.Unasked && e.AtS < l.AtS {
					spoken++
				}
			}
		}
	}
	if spoken < 5 {
		t.Errorf("%d acts were spoken into: too few to say anything", spoken)
	}
}
