package protocol

import (
	"errors"
	"testing"
)

// The one equation with two lines takes the sex, in every formula that predicts a maximum. Source: [SYDO2014] 220 − 0.95 × age in men, 210 − 0.79 × age
// in women.
func TestMaximumBySex(t *testing.T) {
	for sex, want := range map[string]float64{"M": 182, "female": 178.4} {
		w, err := Work("max_hr", map[string]string{"max_hr": "sydo", "age_y": "40", "sex": sex})
		if err != nil {
			t.Fatal(err)
		}
		if got := w.Value.(float64); got < want-1e-3 || got > want+1e-3 {
			t.Errorf("%s of 40: %v bpm, want %.1f", sex, got, want)
		}
	}
	var bad *BadInput
	if _, err := Work("max_hr", map[string]string{"max_hr": "sydo", "age_y": "40"}); !errors.As(err, &bad) || bad.Key != "sex" {
		t.Errorf("without a sex: %v", err)
	}
	if _, err := Work("hr_reserve", map[string]string{"max_hr": "220-age", "age_y": "40", "resting_hr_bpm": "60", "sex": "X"}); err == nil {
		t.Error("any sex will do")
	}
}
