package main

import (
	"testing"
	"time"
)

// How long ago goes by the days of the calendar: what was done the evening before was yesterday however few hours ago, and two evenings ago is two days.
func TestAgoGoesByTheCalendar(t *testing.T) {
	at := func(text string) time.Time {
		m, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	for _, c := range []struct{ then, now, says string }{
		{"2026-11-30T18:15:00Z", "2026-11-30T18:16:00Z", "today"}, {"2026-11-30T00:10:00Z", "2026-11-30T23:50:00Z", "today"},
		{"2026-11-30T23:50:00Z", "2026-12-01T07:00:00Z", "yesterday"}, {"2026-11-30T18:15:00Z", "2026-12-02T18:00:00Z", "2 days ago"},
		{"2026-03-28T12:00:00+01:00", "2026-03-30T09:00:00+02:00", "2 days ago"},
	} {
		if got := agoWords(at(c.then), at(c.now)); got != c.says {
			t.Errorf("%s at %s: %s, want %s", c.then, c.now, got, c.says)
		}
	}
	if got := agoWords(time.Time{}, at("2026-11-30T18:15:00Z")); got != "never" {
		t.Error(got)
	}
}
