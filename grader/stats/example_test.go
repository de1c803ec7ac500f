package stats_test

import (
	"fmt"

	"kilopond/grader/stats"
)

// Two people count the same six pulses: the correlation is high, and yet one reads 4 bpm more.
func ExampleAgree() {
	a := stats.Agree([]float64{104, 116, 124, 136, 144, 160}, []float64{100, 112, 122, 130, 140, 156})
	fmt.Printf("bias %.1f bpm, limits of agreement %.1f to %.1f, r %.3f\n", a.Bias, *a.LoALow, *a.LoAHigh, *a.R)
	one := stats.Agree([]float64{104}, []float64{100})
	fmt.Println("spread of one pair:", one.SD)
	// Output:
	// bias 4.0 bpm, limits of agreement 1.5 to 6.5, r 0.998
	// spread of one pair: <nil>
}
