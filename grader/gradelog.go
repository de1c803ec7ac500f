package grader

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"kilopond/scenarios"
)

// GradesFormat is the first field of each line of a log of marks.
const GradesFormat = "grades/1"

// A Noted is one line of the log of marks: it is only ever added to, so that an older mark stays where it was. Exactly one of Given, Comment
// and Decided is there.
type Noted struct {
	Format  string   `json:"kilopond"`
	At      string   `json:"at"`   // when, RFC 3339
	Head    string   `json:"head"` // which attempt: its fingerprint, whatever its file is called
	Student string   `json:"student"`
	Given   *Given   `json:"given,omitempty"`
	Comment *Comment `json:"comment,omitempty"`
	Decided *Decided `json:"decided,omitempty"`
}

// A Given is an automatic mark as it was given under a rulebook.
type Given struct {
	Rulebook     string   `json:"rulebook"`
	RulebookHash string   `json:"rulebook_hash"`
	Percent      *float64 `json:"percent"`
	Passed       bool     `json:"passed"`
	GatesClosed  int      `json:"gates_closed"`
}

// A Comment is the instructor's own global mark, from 1 (poor) to 5 (excellent), with the reason.
type Comment struct {
	Mark    int    `json:"mark"`
	Because string `json:"because"`
}

// A Decided is the instructor's credit for one rule, with the reason; a nil credit takes an earlier decision back.
type Decided struct {
	Rule    string   `json:"rule"`
	Credit  *float64 `json:"credit"`
	Because string   `json:"because"`
}

// mostWords bounds a reason, in bytes.
const mostWords = 4000

// Check says what is wrong with a line, or nil.
func (n Noted) Check() error {
	kinds := 0
	for _, there := range []bool{n.Given != nil, n.Comment != nil, n.Decided != nil} {
		if there {
			kinds++
		}
	}
	reason := func(text string) error {
		switch {
		case strings.TrimSpace(text) == "":
			return fmt.Errorf("no reason is given")
		case len(text) > mostWords:
			return fmt.Errorf("a reason of %d bytes: %d at most", len(text), mostWords)
		}
		return nil
	}
	switch {
	case n.Format != GradesFormat:
		return fmt.Errorf("not a line of a log of marks: format %q, want %q", n.Format, GradesFormat)
	case n.Head == "":
		return fmt.Errorf("it does not say of which attempt")
	case kinds != 1:
		return fmt.Errorf("%d things are noted at once, not one", kinds)
	case n.Comment != nil:
		if n.Comment.Mark < 1 || n.Comment.Mark > 5 {
			return fmt.Errorf("mark %d: a whole number from 1 to 5", n.Comment.Mark)
		}
		return reason(n.Comment.Because)
	case n.Decided != nil:
		if err := knownRule(n.Decided.Rule); err != nil {
			return err
		}
		if c := n.Decided.Credit; c != nil && !(*c >= 0 && *c <= 1) {
			return fmt.Errorf("credit %v: from 0 to 1", *c)
		}
		return reason(n.Decided.Because)
	case n.Given.Percent != nil && (math.IsNaN(*n.Given.Percent) || *n.Given.Percent < 0 || *n.Given.Percent > 100):
		return fmt.Errorf("percent %v: from 0 to 100", *n.Given.Percent)
	}
	return nil
}

// knownRule offers the nearest rule when there is none of the name.
func knownRule(name string) error {
	var names []string
	for _, r := range Rules() {
		if r.Name == name {
			return nil
		}
		names = append(names, r.Name)
	}
	if near := scenarios.Nearest(name, names); near != "" {
		return fmt.Errorf("no rule %q; did you mean %s?", name, near)
	}
	return fmt.Errorf("no rule %q", name)
}

// EncodeNoted writes a line, without a newline.
func EncodeNoted(n Noted) ([]byte, error) {
	n.Format = GradesFormat
	if err := n.Check(); err != nil {
		return nil, err
	}
	return json.Marshal(n)
}

// DecodeNotes reads a log of marks. What follows the last newline was never finished and does not count; a line that cannot be read is an
// error that names it.
func DecodeNotes(data []byte) ([]Noted, error) {
	rows := bytes.Split(data, []byte("\n"))
	var all []Noted
	for i, raw := range rows[:len(rows)-1] {
		var n Noted
		d := json.NewDecoder(bytes.NewReader(raw))
		d.DisallowUnknownFields()
		err := d.Decode(&n)
		if err == nil {
			err = n.Check()
		}
		if err != nil {
			return all, fmt.Errorf("line %d: %w", i+1, err)
		}
		all = append(all, n)
	}
	return all, nil
}

// A History is what was noted of one attempt, the later over the earlier.
type History struct {
	Given   *Given // the mark given last
	GivenAt string
	Comment *Comment
	Decided []Override // in the order of the rules
}

// Histories sorts a log by attempt.
func Histories(notes []Noted) map[string]History {
	all := map[string]History{}
	credits := map[string]map[string]Decided{}
	for _, n := range notes {
		h := all[n.Head]
		switch {
		case n.Given != nil:
			h.Given, h.GivenAt = n.Given, n.At
		case n.Comment != nil:
			h.Comment = n.Comment
		case n.Decided != nil:
			if credits[n.Head] == nil {
				credits[n.Head] = map[string]Decided{}
			}
			credits[n.Head][n.Decided.Rule] = *n.Decided
		}
		all[n.Head] = h
	}
	rules := Rules()
	for head, by := range credits {
		h := all[head]
		for _, r := range rules {
			if d, ok := by[r.Name]; ok && d.Credit != nil {
				h.Decided = append(h.Decided, Override{Rule: r.Name, Credit: *d.Credit, Because: d.Because})
			}
		}
		all[head] = h
	}
	return all
}

// Given is the automatic mark as the log keeps it.
func (m Mark) Given() Given {
	return Given{Rulebook: m.Rulebook, RulebookHash: m.RulebookHash, Percent: m.Percent, Passed: m.Passed, GatesClosed: len(m.Gate)}
}

// Same says whether two marks say the same of the student, whatever the rules.
func (g Given) Same(as Given) bool {
	if (g.Percent == nil) != (as.Percent == nil) || g.Percent != nil && *g.Percent != *as.Percent {
		return false
	}
	return g.Passed == as.Passed && g.GatesClosed == as.GatesClosed
}
