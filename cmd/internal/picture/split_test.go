package picture

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// Each bar begins at zero and ends where its number says, to the left when it is negative; its number stands beyond its end.
func TestSplitIsWhereTheNumbersSay(t *testing.T) {
	up, down, nothing := 2.0, -4.0, 0.0
	s := Split{Whole: "T", Unit: "mL/kg/min", Sum: -1.5, Parts: []Part{{"Counting", &up}, {"Bend of the line", &down}, {"Arithmetic", &nothing}, {"Oxygen cost", nil}}}
	n := drawn(t, s)
	var zero float64
	for _, l := range n.lines {
		if o := l.outline; len(o) == 2 && o[0].At[0].X == o[1].At[0].X && math.Abs(o[0].At[0].Y-o[1].At[0].Y) > 60 {
			zero = max(zero, o[0].At[0].X) // the axis stands further to the left
		}
	}
	var ends []float64
	for _, f := range n.filled {
		low, high := math.Inf(1), math.Inf(-1)
		for _, m := range f {
			if m.Op != 'Z' {
				low, high = min(low, m.At[0].X), max(high, m.At[0].X)
			}
		}
		if math.Abs(low-zero) > 0.01 && math.Abs(high-zero) > 0.01 {
			t.Errorf("a bar from %.1f to %.1f does not begin at zero, %.1f", low, high, zero)
		}
		ends = append(ends, low+high-2*zero)
	}
	if len(ends) != 4 {
		t.Fatalf("%d bars, want 4", len(ends))
	}
	slices.Sort(ends)
	for i, want := range []float64{-4, -1.5, 0, 2} {
		if got := ends[i] / ends[3] * 2; math.Abs(got-want) > 0.01 {
			t.Errorf("a bar ends at %.2f, want %v", got, want)
		}
	}
	left, _ := n.says("−4.00")
	right, _ := n.says("+2.00")
	if left.x+left.width > zero+ends[0] || right.x < zero+ends[3] || left.s == "" || right.s == "" {
		t.Errorf("the numbers stand at %.1f–%.1f and %.1f, the bars end at %.1f and %.1f", left.x, left.x+left.width, right.x, zero+ends[0], zero+ends[3])
	}
	for _, want := range []string{"no number", "0.00", "−1.50", "0", "Counting", "Oxygen cost", "T"} {
		if _, ok := n.says(want); !ok {
			t.Errorf("the picture does not say %q", want)
		}
	}
	for _, want := range []string{"Raised it: Counting +2.00.", "Lowered it: Bend of the line −4.00.", "Without a number: Oxygen cost.", "Together T: −1.50."} {
		if !strings.Contains(s.Text(), want) {
			t.Errorf("in words there is no %q: %s", want, s.Text())
		}
	}
}

// Whatever is on the sheet, a few marks stand on the axis, and zero is one of them.
func TestSplitOfAnySize(t *testing.T) {
	for _, x := range []float64{0, 0.01, -0.3, 7, -42, 950, -12345, 999999} {
		n := drawn(t, Split{Whole: "T", Unit: "mL/kg/min", Sum: x, Parts: []Part{{"Counting", &x}}})
		if _, ok := n.says("0"); !ok || len(n.words) > 18 {
			t.Errorf("%v: zero is not marked, or %d words are too many", x, len(n.words))
		}
	}
}
