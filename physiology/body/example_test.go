package body_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"kilopond/physiology/body"
)

// Three minutes at 150 kg·m/min: every second gives its beats, and the truth that no instrument sees.
func ExampleBody() {
	draws := rand.New(rand.NewPCG(1, 2))
	person := body.DrawTraits(draws, body.Who{AgeLow: 30, AgeHigh: 30})
	b := body.New(person, body.DrawDay(draws, nil), nil, draws, draws)

	for range 60 {
		b.Step(body.Setting{Posture: body.OnCycle})
	}
	seated := b.Now()
	beats, rates := 0, 0.0
	for second := range 180 {
		felt := b.Step(body.Setting{Posture: body.OnCycle, Pedalling: true, Resistance: 0.5, Metronome: 50})
		if second >= 120 {
			beats += len(felt)
			rates += float64(b.Now().HR) / 60
		}
	}
	working := b.Now()

	fmt.Println("age:", person.Age)
	fmt.Println("clock:", working.T)
	fmt.Println("heart rate, uptake and systolic pressure have risen:", working.HR > seated.HR, working.VO2 > seated.VO2, working.SBP > seated.SBP)
	fmt.Println("the beats of the third minute are those of its rate:", math.Abs(float64(beats)-rates) < 2)
	fmt.Println("pedalling about 50 rpm:", math.Abs(float64(working.Cadence)-50) < 5, "signs:", len(b.Symptoms()))
	// Output:
	// age: 30
	// clock: 4m0s
	// heart rate, uptake and systolic pressure have risen: true true true
	// the beats of the third minute are those of its rate: true
	// pedalling about 50 rpm: true signs: 0
}
