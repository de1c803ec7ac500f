// Package logtest holds the contract of exercises.Log as one suite, which every implementation passes. It compares whole lines.
package logtest

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A Maker makes an empty log of an attempt, and opens the same attempt again after its log was closed.
type Maker interface {
	Create(t *testing.T, h exercises.Header) exercises.Log
	Reopen(t *testing.T) exercises.Log
}

// Session begins an attempt to be logged.
func Session(t testing.TB, seed scenarios.Seed) *exercises.Session {
	t.Helper()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(seed)
	return exercises.Begin(exercises.NewHeader(sc, json.RawMessage(`{"name":"test"}`), "hash", "drill", false), sc)
}

// Commands is a stretch of an ordinary attempt.
func Commands() []exercises.Command {
	return []exercises.Command{
		{Act: exercises.Greet}, {Act: exercises.Ask, What: "health"}, {Act: exercises.Cuff, What: "adult"}, {Act: exercises.Rest, Seconds: 60},
		{Act: exercises.Count, Seconds: 15}, {Act: exercises.Pressure, PumpMmHg: 170, ValveMmHgS: 3},
		{Act: exercises.Write, Entries: []exercises.Entry{{Key: exercises.KeyHR, Text: "72"}, {Key: exercises.KeyBP, Text: "118/76"}}},
		{Act: exercises.Strike, Entry: 1}, {Act: exercises.Seat, What: "cycle"}, {Act: exercises.Metronome, CadenceRPM: 50}, {Act: exercises.Pedal},
	}
}

// Run holds a log to the contract.
func Run(t *testing.T, m Maker) {
	s := Session(t, 5)
	log := m.Create(t, s.State().Header)
	a, err := log.Attempt()
	if err != nil || a.Damage != nil || len(a.Lines) != 0 || !reflect.DeepEqual(a.Header, s.State().Header) {
		t.Fatalf("an empty log: %+v, %v", a, err)
	}
	var want []exercises.Line
	for i, c := range Commands() {
		l, err := s.Do(c)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := log.Append(i+1, l); !errors.Is(err, exercises.ErrConflict) {
			t.Fatalf("line %d appended at the wrong place: %v", i, err)
		}
		kept, err := log.Append(i, l)
		if err != nil {
			t.Fatal(err)
		}
		if kept.Prev == "" {
			t.Fatalf("line %d has no chain", i)
		}
		want = append(want, kept)
		if _, err := log.Append(i, l); !errors.Is(err, exercises.ErrConflict) {
			t.Fatalf("line %d appended twice: %v", i, err)
		}
	}
	same := func(log exercises.Log) {
		t.Helper()
		a, err := log.Attempt()
		if err != nil || a.Damage != nil {
			t.Fatalf("reading back: %v, %v", err, a.Damage)
		}
		if !reflect.DeepEqual(a.Lines, want) || !reflect.DeepEqual(a.Header, s.State().Header) {
			t.Fatalf("what comes back is not what was kept:\n%+v\n%+v", a.Lines, want)
		}
		if _, err := exercises.Resimulate(a.Header, s.Subject(), a.Lines); err != nil {
			t.Fatal(err)
		}
	}
	same(log)
	if err := log.Close(); err != nil {
		t.Fatal(err)
	}
	again := m.Reopen(t)
	same(again)
	l, err := s.Do(exercises.Command{Act: exercises.Wait, Seconds: 30})
	if err != nil {
		t.Fatal(err)
	}
	kept, err := again.Append(len(want), l)
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, kept)
	same(again)
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
}
