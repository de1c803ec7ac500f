package body

import "testing"

// Who has had enough says so in the second in which it is so, is well until then, goes on a while, and then stops of their own accord; a light
// cool-down in time is gone along with.
func TestEnoughIsSaidAndThenDone(t *testing.T) {
	well, tired := twins(3, middle, Ill{Enough: &Enough{Onset: Span{5, 5}}})
	at := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50}
	said, stopped := -1, -1
	for second := 1; second <= 600; second++ {
		at.Resistance = 0
		if second > 120 {
			at.Resistance = 0.5
		}
		well.Step(at)
		tired.Step(at)
		asks := false
		for _, y := range tired.Symptoms() {
			asks = asks || y == Symptom{AskedToStop, 3, Unasked}
		}
		if asks && said < 0 {
			said = second
		}
		if tired.Now().Stopped && stopped < 0 {
			stopped = second
		}
		if stopped < 0 && well.Now() != tired.Now() {
			t.Fatalf("second %d: the body differs before it stops", second)
		}
	}
	// The minutes are of work: five minutes of it, after two minutes without load.
	if said < 415 || said > 425 {
		t.Errorf("asked to stop at second %d, want about 421", said)
	}
	if stopped-said < patienceS-2 || stopped-said > patienceS+2 {
		t.Errorf("stopped %d s after asking, want %d", stopped-said, patienceS)
	}

	_, tired = twins(3, middle, Ill{Enough: &Enough{Onset: Span{5, 5}}})
	at.Resistance = 1
	for second := 1; second <= 600; second++ {
		if second == 320 { // heard: a cool-down
			at.Resistance = 0.5
		}
		tired.Step(at)
		if second > 320 && (len(tired.Symptoms()) > 0 || tired.Now().Stopped) {
			t.Fatalf("second %d: still asks, or has stopped, in a light cool-down", second)
		}
	}
}
