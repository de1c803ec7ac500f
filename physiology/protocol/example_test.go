package protocol_test

import (
	"fmt"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A woman of 40 with 70 kg and two steady stages; row W049 of testdata/worked_examples.csv.
func ExampleEstimate() {
	rules := protocol.Default()
	person := protocol.Person{Sex: unit.Female, Age: 40, Mass: 70}
	a := protocol.Estimate(rules, person, []protocol.StagePoint{
		{Stage: 1, WorkRate: 150, Minutes: []unit.HR{95, 96}},
		{Stage: 2, WorkRate: 300, Minutes: []unit.HR{108, 112, 112}},
		{Stage: 3, WorkRate: 450, Minutes: []unit.HR{124, 126, 128}},
	})
	for _, step := range a.Steps {
		fmt.Println(step)
	}
	fmt.Printf("estimate: %.1f mL/kg/min, %s\n", float64(a.VO2Rel), a.Confidence)
	// Output:
	// Predicted maximum heart rate (220-age): 220 − 40 = 180 bpm
	// Ceiling: 0.85 × 180 = 153 bpm
	// Stage 1, 150 kg·m/min: (95 + 96) / 2 = 95.5 bpm; below 110 bpm
	// Stage 2, 300 kg·m/min: (112 + 112) / 2 = 112 bpm; steady and within the window
	// Stage 3, 450 kg·m/min: (126 + 128) / 2 = 127 bpm; steady and within the window
	// Slope: (127 − 112) / (450 − 300) = 0.1 bpm for each kg·m/min
	// Work rate at the predicted maximum: 450 + (180 − 127) / 0.1 = 980 kg·m/min
	// VO2max: 1.8 × 980 / 70 + 7 = 32.2 mL/kg/min
	// In litres: 32.2 × 70 / 1000 = 2.25 L/min
	// METs: 32.2 / 3.5 = 9.2
	// Rating: good (six classes by decade; people of a fitness centre; treadmill, by time; a cycle estimate is rated about one class too low)
	// Error range ± 15 %: 27.4–37 mL/kg/min
	// estimate: 32.2 mL/kg/min, two points or more
}

func ExampleBranch() {
	rules := protocol.Default()
	band, rates := protocol.Branch(rules, 89.5) // the heart rate of stage 1
	fmt.Println("stages 2 to 4:", rates, "kg·m/min")
	fmt.Println("stage 5:", protocol.WorkRateOfStage(rules, band, 5))
	fmt.Println("on the brake:", rates[0].Resistance(rules.Cadence), "kp")
	// Output:
	// stages 2 to 4: [600 750 900] kg·m/min
	// stage 5: 1050
	// on the brake: 2 kp
}

// A formula takes what was typed and says what is wrong with it.
func ExampleWork() {
	w, err := protocol.Work("vo2_leg_kgm", map[string]string{"work_rate_kgm_min": "600", "mass_kg": "60"})
	fmt.Println(w.Steps, w.Value, w.Unit, err)
	_, err = protocol.Work("vo2_leg_kgm", map[string]string{"work_rate_kgm_min": "600", "mass_kg": "heavy"})
	fmt.Println(err)
	// Output:
	// [1.8 × 600 / 60 + 7 = 25 mL/kg/min] 25 mL/kg/min <nil>
	// mass_kg: "heavy" is not a number
}
