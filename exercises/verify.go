package exercises

import (
	"bytes"
	"fmt"

	"kilopond/scenarios"
)

// A Damage names the first line of an attempt that does not hold, and why.
type Damage struct {
	Line int // from 1, the header
	Why  string
}

func (d *Damage) Error() string { return fmt.Sprintf("line %d: %s", d.Line, d.Why) }

// An Attempt is a file that has been read: what holds of it, and what does not.
type Attempt struct {
	Header Header
	Lines  []Line
	Raw    [][]byte // the lines that hold, as written, the header first
	// Unfinished is what follows the last newline: it was never acknowledged and does not count.
	Unfinished []byte
	// Damage is the first fault of the file, nil when all of it holds.
	Damage *Damage
}

// Last is the chain's end: the Prev of the line that would come next.
func (a *Attempt) Last() string {
	if len(a.Raw) == 0 {
		return ""
	}
	return Sum(a.Raw[len(a.Raw)-1])
}

// Read takes an attempt's bytes apart: chain, names, fields, the order of time. It always returns what holds before the first fault.
func Read(data []byte) *Attempt {
	a := &Attempt{}
	fault := func(line int, format string, args ...any) *Attempt {
		a.Damage = &Damage{line, fmt.Sprintf(format, args...)}
		return a
	}
	if len(data) == 0 {
		return fault(1, "the file is empty")
	}
	rows := bytes.Split(data, []byte("\n"))
	a.Unfinished = rows[len(rows)-1]
	rows = rows[:len(rows)-1]
	if len(rows) == 0 {
		return fault(1, "the first line was never finished")
	}
	if whole, cut := bytes.CutSuffix(rows[0], []byte("\r")); cut && bytes.HasPrefix(whole, []byte(`{"kilopond"`)) {
		return fault(1, "the line ends were changed on the way, as some mail programs do: have the file sent again as it is, or in a zip")
	}
	h, err := DecodeHeader(rows[0])
	if err != nil {
		return fault(1, "%v", err)
	}
	a.Header, a.Raw = h, rows[:1:1]
	state := newState(h)
	for i, raw := range rows[1:] {
		l, err := DecodeLine(raw)
		if err != nil {
			return fault(i+2, "%v", err)
		}
		if l.Prev != a.Last() {
			return fault(i+2, "does not follow the line before it: that line, or this one, was changed")
		}
		if err := state.follows(l); err != nil {
			return fault(i+2, "%v", err)
		}
		if before := a.WallS(); l.WallS < before || l.WallS > longestWallS || (h.Pack == nil && l.WallS != 0) {
			return fault(i+2, "the computer's clock runs from %d s to %d s", before, l.WallS)
		}
		a.Raw, a.Lines = append(a.Raw, raw), append(a.Lines, l)
	}
	return a
}

// Resimulate plays the commands again on the subject and returns the session where the lines end. A *Damage error names the first line whose
// events differ from what the body gives.
func Resimulate(h Header, sc scenarios.Scenario, lines []Line) (*Session, error) {
	s := Begin(h, sc)
	for i, want := range lines {
		got, err := s.Do(want.Command)
		if err != nil {
			return nil, &Damage{i + 2, fmt.Sprintf("the command could not have been done: %v", err)}
		}
		got.Prev, got.WallS = want.Prev, want.WallS
		a, errA := EncodeLine(got)
		b, errB := EncodeLine(want)
		if errA != nil || errB != nil {
			return nil, &Damage{i + 2, "the line cannot be written"}
		}
		if !bytes.Equal(a, b) {
			return nil, &Damage{i + 2, "the events are not what this subject gives to that command"}
		}
	}
	return s, nil
}
