package exercises

import (
	"fmt"
	"time"
)

// A PackPlace says which place of which pack an attempt fills. It is part of the attempt's first line.
type PackPlace struct {
	Hash       string    `json:"hash"`       // SHA-256 of the pack, in hex
	Assignment string    `json:"assignment"` // its ID
	Code       string    `json:"code"`       // whose pack
	Subject    int       `json:"subject"`    // from 1
	Try        int       `json:"try"`        // from 1
	BegunAt    time.Time `json:"begun_at"`   // by the clock of the computer
	// When the report may be seen, as the pack says.
	Report     ReportRule `json:"report"`
	ReportFrom time.Time  `json:"report_from,omitzero"`
}

func (p *PackPlace) check() error {
	if !hash64(p.Hash) || p.Subject < 1 || p.Try < 1 || p.BegunAt.IsZero() {
		return fmt.Errorf("pack: its place is not complete")
	}
	if code, err := ParseCode(p.Code); err != nil || code != p.Code {
		return fmt.Errorf("pack: code %q is none", p.Code)
	}
	return p.Report.check()
}

// longestWallS is a year: no sitting is longer.
const longestWallS = 366 * 24 * 3600

// WallS is the computer's time of the last line, in s since the attempt was begun; 0 outside a pack.
func (a *Attempt) WallS() int {
	if n := len(a.Lines); n > 0 {
		return a.Lines[n-1].WallS
	}
	return 0
}

// LastAt is when the last line was written, by the clock of the student's computer. Zero outside a pack.
func (a *Attempt) LastAt() time.Time {
	if a.Header.Pack == nil {
		return time.Time{}
	}
	return a.Header.Pack.BegunAt.Add(time.Duration(a.WallS()) * time.Second)
}

// Closed reports whether the attempt has been handed in.
func (a *Attempt) Closed() bool {
	n := len(a.Lines)
	return n > 0 && a.Lines[n-1].Command.Act == HandIn
}

// HeldBack reports whether the report of an attempt may not be shown at the time now without the instructor's file.
func (h Header) HeldBack(now time.Time) bool {
	if h.Pack == nil {
		return false
	}
	switch h.Pack.Report {
	case ReportAtOnce:
		return false
	case ReportAfter:
		return now.Before(h.Pack.ReportFrom)
	}
	return true
}
