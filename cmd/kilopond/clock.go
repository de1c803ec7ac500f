package main

import (
	"time"

	"github.com/spf13/cobra"
)

// clockKey is where a test puts another clock.
type clockKey struct{}

// wallClock is the computer's time.
func wallClock(c *cobra.Command) time.Time {
	if at, ok := c.Context().Value(clockKey{}).(func() time.Time); ok {
		return at()
	}
	return time.Now()
}

// timeForms are how a time may be typed. Those without a zone are in the computer's own.
var timeForms = []string{time.RFC3339, "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05"}

// moment reads a time as a person types it. A date alone is its first second, or its last when end is set.
func moment(flag, text string, end bool) (time.Time, error) {
	if day, err := time.ParseInLocation("2006-01-02", text, time.Local); err == nil {
		if end {
			return day.AddDate(0, 0, 1).Add(-time.Second), nil
		}
		return day, nil
	}
	for _, form := range timeForms {
		if t, err := time.ParseInLocation(form, text, time.Local); err == nil {
			return t, nil
		}
	}
	return time.Time{}, usage(`for example --`+flag+` 2026-11-30, or --`+flag+` "2026-11-30 18:00"`, "--%s %q: no time", flag, text)
}

// local writes a time for a reader at this computer.
func local(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Local().Format("Mon 2 Jan 2006 15:04 MST")
}
