package stats

import (
	"math"
	"testing"
)

// Quartiles of 1 to 10 by straight lines between ordered values. Source: [HYNDMAN1996], type 7: 3.25, 5.5, 7.75.
func TestQuantile(t *testing.T) {
	x := []float64{7, 1, 10, 4, 2, 9, 3, 8, 6, 5}
	for p, want := range map[float64]float64{0: 1, 0.25: 3.25, 0.5: 5.5, 0.75: 7.75, 0.9: 9.1, 1: 10} {
		if got := Quantile(x, p); math.Abs(got-want) > 1e-12 {
			t.Errorf("quantile %v: %v, want %v", p, got, want)
		}
	}
	if x[0] != 7 {
		t.Error("the values were put in order where they stand")
	}
	if got := Quantile([]float64{3}, 0.9); got != 3 {
		t.Errorf("of one value: %v", got)
	}
}

// Six targets with four judges of their own: ICC(1,4) is .44. Source: [SHROUT1979], table 4.
func TestNestedIsTheReliabilityOfAMean(t *testing.T) {
	rows := [][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}
	c, ok := Components(rows)
	if !ok {
		t.Fatal("no components")
	}
	got, ok := c.Nested(rows)
	if !ok || math.Abs(got-0.44) > 0.005 {
		t.Errorf("reliability %.4f, want 0.44", got)
	}
	if _, ok := (Class{}).Nested(nil); ok {
		t.Error("nobody has a reliability")
	}
}

// The interval of a shrunk mean by hand: within 36, between 4, n 3, ten students. B = 36/(36+12) = 0.75; own variance 12; of the class mean
// (4+12)/10 = 1.6; √(0.25·12 + 0.5625·1.6) = √3.9.
func TestIntervalOfAShrunkMean(t *testing.T) {
	c := Class{Mean: 7, Within: 36, Between: 4}
	if got, want := c.Error(3, 10), math.Sqrt(3.9); math.Abs(got-want) > 1e-12 {
		t.Errorf("error %v, want %v", got, want)
	}
	shrunk, _ := c.Shrunk(3, 3)
	i := c.Interval(shrunk, 3, 10)
	if math.Abs((i[0]+i[1])/2-6) > 1e-12 || math.Abs(i[1]-i[0]-2*1.96*math.Sqrt(3.9)) > 1e-12 {
		t.Errorf("interval %v about 6", i)
	}
	if a, b := c.Error(3, 10), c.Error(12, 10); b >= a {
		t.Errorf("twelve attempts tell no more than three: %v, %v", b, a)
	}
}

// How a discrimination is read. Source: [EBEL1965].
func TestDiscriminates(t *testing.T) {
	for r, want := range map[float64]string{0.4: "good", 0.39: "fair", 0.3: "fair", 0.2: "marginal", 0.19: "poor", -0.5: "poor"} {
		if got := Discriminates(r); got != want {
			t.Errorf("%v: %s, want %s", r, got, want)
		}
	}
}
