package body

import "testing"

// after rides hard for six minutes, stops dead and takes the place; it returns the body after so many seconds more.
func after(seed uint64, ill Ill, place Posture, seconds int) *Body {
	_, b := twins(seed, strong, ill)
	for second := range 360 + seconds {
		s := Setting{Posture: OnCycle, Pedalling: true, Resistance: 3, Metronome: 50}
		if second >= 360 {
			s = Setting{Posture: place}
		}
		b.Step(s)
	}
	return b
}

// Whoever is about to faint goes sooner when stood up, and comes back when laid down; whoever has pain in the chest keeps it longer when laid flat;
// whoever fights for air fights harder. Source: [PRACTICE-EMERGENCY].
func TestTheWrongPlaceMakesItWorse(t *testing.T) {
	legs := Ill{Faint: &Faint{After: Span{60, 60}}}
	stood, sat, laid := 0.0, 0.0, 0.0
	for seed := range uint64(20) {
		stood += levelOfFaint(after(seed, legs, Standing, 75))
		sat += levelOfFaint(after(seed, legs, Chair, 75))
		laid += levelOfFaint(after(seed, legs, Lying, 75))
	}
	if !(stood > 1.5*sat && laid == 0) {
		t.Errorf("level of faint after 75 s: stood %.2f, sat %.2f, lying %.2f", stood, sat, laid)
	}
	chest := Ill{Angina: &Angina{Threshold: Span{15000, 15000}}}
	flat, upright := 0.0, 0.0
	for seed := range uint64(20) {
		flat += after(seed, chest, Lying, 300).ills[0].(*angina).pain
		upright += after(seed, chest, Chair, 300).ills[0].(*angina).pain
	}
	if !(flat > 1.5*upright) {
		t.Errorf("pain 300 s after the stop: flat %.2f, upright %.2f", flat, upright)
	}
	spasm := Ill{Bronchospasm: &Bronchospasm{Onset: Span{3, 3}}}
	low, high := 0, 0
	for seed := range uint64(20) {
		low += gradeOf(after(seed, spasm, Chair, 300), Wheeze, Seen)
		high += gradeOf(after(seed, spasm, Lying, 300), Wheeze, Seen)
	}
	if high <= low {
		t.Errorf("grades of the whistle five minutes after the stop: lying %d, sitting %d", high, low)
	}
}

func levelOfFaint(b *Body) float64 { return b.ills[0].(*faint).level }
