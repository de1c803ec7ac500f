package dialogue

import (
	"slices"

	"kilopond/exercises"
)

// setRight is what a check does with what it found, in as many words whether something was wrong or not.
var setRight = map[string]struct {
	measured     string  // the number that was read
	should       float64 // when nothing is wrong
	wrong, right string
}{
	"brake":  {"brake_zero_kp", 0, "You set it to zero.", "It stays as it is."},
	"weight": {"weight_kp", 2, "You set the scale by the weight.", "The scale is left as it is."},
	"cuff":   {"cuff_leak_mmhg_s", 0, "You take the spare one.", "You keep this one on."},
	"gauge":  {"gauge_zero_mmhg", 0, "You set the needle to zero.", "You leave the needle at zero."},
	"arm":    {"arm_below_cm", 0, "You rest it at the height of the heart.", "You leave it at the height of the heart."},
}

// checked says what was done about the number just read.
func (d *dialogue) checked(what string) string {
	w := setRight[what]
	for _, e := range slices.Backward(d.state().Events) {
		if m, ok := e.Fact.(exercises.Measured); ok && m.What == w.measured {
			if m.Value == w.should {
				return w.right
			}
			return w.wrong
		}
	}
	return w.wrong
}
