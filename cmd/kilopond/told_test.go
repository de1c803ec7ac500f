package main

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"
	"testing"
)

// What the system says reaches people in words, and a name reaches the terminal as text only.
func TestTold(t *testing.T) {
	gone := &fs.PathError{Op: "open", Path: "a.yaml", Err: syscall.ENOENT}
	full := &fs.PathError{Op: "write", Path: "b.db", Err: syscall.ENOSPC}
	for _, c := range []struct {
		err  error
		want string
	}{
		{gone, "a.yaml: no such file or folder"},
		{fmt.Errorf("the case: %w", gone), "the case: a.yaml: no such file or folder"},
		{fmt.Errorf("a.yaml: %w", gone), "a.yaml: no such file or folder"},
		{errors.Join(gone, fmt.Errorf("and: %w", full)), "a.yaml: no such file or folder\nand: b.db: the disk is full"},
		{errors.New("a \x1b[31mname\x07 \u202e\xff"), `a \x1b[31mname\x07 \u202e\ufffd`},
	} {
		if got := told(c.err); got != c.want {
			t.Errorf("told %q, want %q", got, c.want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for text, want := range map[string]float64{"70": 70, "70,5": 70.5, "-3.25": -3.25, "−3": -3, "+4": 4, "1e2": 100, ".5": 0.5, "010": 10, "-0": 0} {
		if x, err := decimal(text); err != nil || x != want || fmt.Sprint(x) != fmt.Sprint(want) {
			t.Errorf("%q is %v, %v, want %v", text, x, err, want)
		}
	}
	for _, text := range []string{"", " 3", "3 ", "NaN", "Inf", "infinity", "0x10", "1_000", "1e400", "--3", "1.2.3", "3p4", "١"} {
		if x, err := decimal(text); err == nil {
			t.Errorf("%q is taken for %v", text, x)
		}
	}
}
