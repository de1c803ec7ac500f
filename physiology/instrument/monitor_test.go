package instrument

import (
	"math"
	"testing"
	"time"
)

// The display follows an even heart to within a beat, and shows nothing before it has felt three.
func TestMonitorShowsTheRate(t *testing.T) {
	for _, hr := range []float64{50, 90, 140, 185} {
		h, m := heart{every: 60 / hr, next: 0.2, sys: 120, dia: 80}, Monitor{}
		if m.Shown() != 0 {
			t.Error("a display without beats shows a number")
		}
		for s := range 20 {
			m.Second(h.second(s), time.Duration(s+1)*time.Second)
		}
		if d := float64(m.Shown()) - hr; math.Abs(d) > 0.6 {
			t.Errorf("at %v bpm it shows %d", hr, m.Shown())
		}
	}
}

// A strap that slips shows nothing, half and double, and between them the rate.
func TestStrapThatSlips(t *testing.T) {
	h, m := heart{every: 0.5, next: 0.2, sys: 120, dia: 80}, Monitor{Slips: true}
	seen := map[int]int{}
	for s := range 200 {
		m.Second(h.second(s), time.Duration(s+1)*time.Second)
		if s > 5 {
			seen[m.Shown()]++
		}
	}
	for _, want := range []int{0, 60, 120, 240} {
		if seen[want] < 30 {
			t.Errorf("%d bpm stood there for %d s: %v", want, seen[want], seen)
		}
	}
	if len(seen) != 4 {
		t.Errorf("shown: %v", seen)
	}
}
