package exercises

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"kilopond/scenarios"
)

// AssignmentFormat is the first field of the instructor's file.
const AssignmentFormat = "assignment/1"

// An Assignment is the instructor's own file: who has which code and which subjects. It spoils everything.
type Assignment struct {
	Format string `json:"kilopond"`
	Terms
	MadeAt   time.Time         `json:"made_at"`
	Secret   string            `json:"secret"` // 32 bytes in hex: every code and seed follows from it
	Mix      scenarios.CaseMix `json:"mix,omitempty"`
	Cases    []CaseRef         `json:"cases"` // every case that occurs
	Retest   *Retest           `json:"retest,omitempty"`
	Students []Student         `json:"students"`
}

// A Retest says which assignment failed, and at what. Both results stay.
type Retest struct {
	Of       string `json:"of"`       // ID of the assignment
	Decision string `json:"decision"` // name of the grader's rule
}

// A Student is one line of the instructor's file.
type Student struct {
	Name       string        `json:"name"`
	Key        string        `json:"key"` // as in the instructor's own gradebook
	Group      string        `json:"group,omitempty"`
	Code       string        `json:"code"`
	Pack       string        `json:"pack"` // SHA-256 of the pack
	TimeFactor float64       `json:"time_factor"`
	Extra      int           `json:"extra,omitempty"`
	Until      time.Time     `json:"until,omitzero"` // the student's own end of the window
	Subjects   []PackSubject `json:"subjects"`
}

// A PackSubject is one place in a student's pack with the person of each try.
type PackSubject struct {
	Stratum    scenarios.Stratum `json:"stratum"`
	Difficulty int               `json:"difficulty"`
	Scored     bool              `json:"scored"`
	Tries      []Drawn           `json:"tries"`
}

// A Drawn is a person with the row of the branch table that the first stage should choose; 0 for one who must not begin.
type Drawn struct {
	Case string         `json:"case"`
	Seed scenarios.Seed `json:"seed"`
	Band int            `json:"band,omitempty"`
}

// ReadAssignment reads the instructor's file.
func ReadAssignment(data []byte) (Assignment, error) {
	var a Assignment
	raw := bytes.TrimPrefix(data, []byte("\ufeff"))
	var kind struct {
		Format string `json:"kilopond"`
	}
	if err := json.Unmarshal(raw, &kind); err != nil || kind.Format == "" {
		return a, errors.New("this file is no assignment")
	}
	switch kind.Format {
	case AssignmentFormat:
	case PackFormat:
		return a, errors.New("this is a student's pack, not the instructor's own file")
	default:
		return a, fmt.Errorf("a file of the form %.40q: this program reads assignments of the form %q", kind.Format, AssignmentFormat)
	}
	if err := strict(raw, &a); err != nil {
		return Assignment{}, fmt.Errorf("the instructor's file cannot be read: %w", err)
	}
	if err := a.check(); err != nil {
		return Assignment{}, fmt.Errorf("the instructor's file does not hold: %w", err)
	}
	return a, nil
}

func (a Assignment) check() error {
	if err := a.Terms.Check(); err != nil {
		return err
	}
	known := map[string]bool{}
	for _, c := range a.Cases {
		if known[c.ID] {
			return fmt.Errorf("case %q: named twice", c.ID)
		}
		if err := c.check(); err != nil {
			return err
		}
		known[c.ID] = true
	}
	codes, packs, keys := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for i, s := range a.Students {
		code, err := ParseCode(s.Code)
		if err != nil || code != s.Code || codes[code] {
			return fmt.Errorf("student %d: code %q", i+1, s.Code)
		}
		if !hash64(s.Pack) || packs[s.Pack] {
			return fmt.Errorf("student %d: the hash of the pack", i+1)
		}
		if s.Key == "" || keys[s.Key] {
			return fmt.Errorf("student %d: key %q", i+1, s.Key)
		}
		if err := s.Own(a.Terms).Check(); err != nil {
			return fmt.Errorf("student %d: %w", i+1, err)
		}
		codes[code], packs[s.Pack], keys[s.Key] = true, true, true
		for _, x := range s.Subjects {
			for _, d := range x.Tries {
				if !known[d.Case] || !d.Seed.OfPack() {
					return fmt.Errorf("student %d: case %q, seed %d", i+1, d.Case, d.Seed)
				}
			}
		}
	}
	return nil
}

// Encode returns the instructor's file: indented, so that it can be read, with a newline at its end.
func (a Assignment) Encode() ([]byte, error) {
	raw, err := json.MarshalIndent(a, "", " ")
	if err != nil {
		return nil, err
	}
	return append(raw, '\n'), nil
}

// ByCode returns the student who has the code.
func (a Assignment) ByCode(code string) (Student, bool) {
	for _, s := range a.Students {
		if s.Code == code {
			return s, true
		}
	}
	return Student{}, false
}

// ByPack returns the student whose pack has the hash.
func (a Assignment) ByPack(hash string) (Student, bool) {
	for _, s := range a.Students {
		if s.Pack == hash {
			return s, true
		}
	}
	return Student{}, false
}

// ByKey returns the student with the instructor's own key.
func (a Assignment) ByKey(key string) (Student, bool) {
	for _, s := range a.Students {
		if s.Key == key {
			return s, true
		}
	}
	return Student{}, false
}

// HasCase reports whether the assignment uses this very case.
func (a Assignment) HasCase(id, hash string) bool {
	return slices.ContainsFunc(a.Cases, func(c CaseRef) bool { return c.ID == id && c.Hash == hash })
}

// Place returns the subject and the person of an attempt's place, and whether the student's pack has it.
func (s Student) Place(subject, try int) (PackSubject, Drawn, bool) {
	if subject < 1 || subject > len(s.Subjects) || try < 1 || try > len(s.Subjects[subject-1].Tries) {
		return PackSubject{}, Drawn{}, false
	}
	return s.Subjects[subject-1], s.Subjects[subject-1].Tries[try-1], true
}

// Own are the terms with the student's own end of the window.
func (s Student) Own(t Terms) Terms {
	if !s.Until.IsZero() {
		t.Until = s.Until
	}
	return t
}

// Limit is the student's time for one subject, 0 when there is none.
func (s Student) Limit(t Terms) time.Duration {
	return Pack{Terms: t, TimeFactor: s.TimeFactor}.Limit()
}
