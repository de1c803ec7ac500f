package exercises

import (
	"bytes"
	"encoding/json"

	"kilopond/scenarios"
)

// ReadPlayed reads an attempt by playing it: of each line only the command is taken from the file, and the line that the subject then gives must be
// the line that stands there, byte for byte, chain and all. That holds more than Read and Resimulate together and takes half their time, as no event
// is decoded. ok is false when anything differs or the subject cannot be had; then Read says what, and where.
func ReadPlayed(data []byte, subject func(Header) (scenarios.Scenario, error)) (a *Attempt, s *Session, ok bool) {
	rows := bytes.Split(data, []byte("\n"))
	a = &Attempt{Unfinished: rows[len(rows)-1]}
	rows = rows[:len(rows)-1]
	if len(rows) == 0 {
		return nil, nil, false
	}
	h, err := DecodeHeader(rows[0])
	if err != nil || h.Model != scenarios.Model {
		return nil, nil, false
	}
	sc, err := subject(h)
	if err != nil {
		return nil, nil, false
	}
	a.Header, a.Raw = h, rows
	s = Begin(h, sc)
	prev, wall := Sum(rows[0]), 0
	for _, raw := range rows[1:] {
		c, wallS, ok := commandOf(raw)
		if !ok || wallS < wall || wallS > longestWallS || h.Pack == nil && wallS != 0 {
			return nil, nil, false
		}
		l, err := s.Do(c)
		if err != nil {
			return nil, nil, false
		}
		l.Prev, l.WallS, wall = prev, wallS, wallS
		if again, err := EncodeLine(l); err != nil || !bytes.Equal(again, raw) {
			return nil, nil, false
		}
		a.Lines = append(a.Lines, l)
		prev = Sum(raw)
	}
	return a, s, true
}

// beforeEvents ends the part of a line that holds the command. It cannot stand inside a text, whose quotes are escaped.
var beforeEvents = []byte(`,"events":[`)

// commandOf reads a line up to its events.
func commandOf(raw []byte) (c Command, wallS int, ok bool) {
	at := bytes.Index(raw, beforeEvents)
	if at < 0 {
		return c, 0, false
	}
	var w struct {
		Prev    string  `json:"prev"`
		AtS     int     `json:"at_s"`
		WallS   int     `json:"wall_s"`
		Command Command `json:"cmd"`
	}
	if err := json.Unmarshal(append(raw[:at:at], '}'), &w); err != nil { // not strict: what it passes over is missing in the bytes that come out
		return c, 0, false
	}
	return w.Command, w.WallS, true
}
