package exercises

import (
	"errors"
	"testing"
)

// A clock that no attempt comes to is damage, at its line: a whole course is judged minute by minute.
func TestClockOfNoAttempt(t *testing.T) {
	lines := []Line{{AtS: 10}, {AtS: longestClockS}}
	if _, err := Rebuild(Header{}, lines); err != nil {
		t.Errorf("a hundred days: %v", err)
	}
	lines[1].AtS++
	var damage *Damage
	if _, err := Rebuild(Header{}, lines); !errors.As(err, &damage) || damage.Line != 3 {
		t.Errorf("one second more: %v", err)
	}
}
