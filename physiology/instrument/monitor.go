package instrument

import (
	"math"
	"time"
)

// A Monitor is a strap around the chest and a display: the mean rate over its last five seconds of beats, which it feels whatever their strength.
// A strap that slips shows nothing for a while, or half, or double. The zero value shows nothing yet. Source: [PRACTICE-INSTRUMENTS].
type Monitor struct {
	Slips bool
	at    []time.Duration // of the last beats
	now   time.Duration
}

// monitorSpan is how far back the display averages. Source: [PRACTICE-INSTRUMENTS].
const monitorSpan = 5 * time.Second

// Second offers the beats of the second that ends at now.
func (m *Monitor) Second(beats []Beat, now time.Duration) {
	m.now = now
	for _, b := range beats {
		m.at = append(m.at, b.At)
	}
	keep := 0
	for keep < len(m.at) && m.at[keep] < now-monitorSpan {
		keep++
	}
	m.at = append(m.at[:0], m.at[keep:]...)
}

// Shown is what stands on the display, in bpm; 0 is no number.
func (m *Monitor) Shown() int {
	n := len(m.at)
	if n < 3 {
		return 0
	}
	rate := 60 * float64(n-1) / (m.at[n-1] - m.at[0]).Seconds()
	if m.Slips {
		switch turn := int(m.now/time.Second) / 20 % 5; turn { // by turns of 20 s: nothing, half, double, and right twice
		case 1:
			return 0
		case 2:
			rate /= 2
		case 4:
			rate = min(2*rate, 240)
		}
	}
	return int(math.Round(rate))
}
