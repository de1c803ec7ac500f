package exercises

import (
	"bytes"
	"encoding/json"
	"fmt"

	"kilopond/scenarios"
)

// Format is the first field of an attempt's first line.
const Format = "attempt/1"

// A Header is the first line of an attempt: everything on which its replay depends.
type Header struct {
	Format       string          `json:"kilopond"`
	Model        int             `json:"model"`
	Case         string          `json:"case"`
	CaseHash     string          `json:"case_hash"`
	Seed         scenarios.Seed  `json:"seed"`
	Subject      Subject         `json:"subject"`
	RulebookHash string          `json:"rulebook_hash"`
	Rulebook     json.RawMessage `json:"rulebook"` // as in force; its meaning is the grader's
	Mode         string          `json:"mode"`     // drill, live (a drill whose clock ran), demo
	Coached      bool            `json:"coached,omitempty"`
	Redo         *Redo           `json:"redo,omitempty"` // nil: begun from the beginning
	Pack         *PackPlace      `json:"pack,omitempty"` // nil: practice, of no pack
}

// A Subject is what the appointment list says of the person.
type Subject struct {
	Name string `json:"name"`
	Sex  string `json:"sex"`
	AgeY int    `json:"age_y"`
	Work string `json:"work"`
}

// NewHeader returns the header of an attempt at the scenario under a rulebook.
func NewHeader(sc scenarios.Scenario, rulebook json.RawMessage, rulebookHash, mode string, coached bool) Header {
	return Header{
		Format: Format, Model: scenarios.Model, Case: sc.Case.ID, CaseHash: sc.Case.Hash, Seed: sc.Seed,
		Subject:  Subject{Name: sc.Name.Name, Sex: string(sc.Traits.Sex), AgeY: int(sc.Traits.Age), Work: sc.Name.Work},
		Rulebook: rulebook, RulebookHash: rulebookHash, Mode: mode, Coached: coached,
	}
}

// check says what is missing in a first line, or can be none of ours.
func (h Header) check() error {
	missing := func(what string) error { return fmt.Errorf("%s is missing", what) }
	switch {
	case h.Model < 1:
		return missing("the model of the subjects")
	case scenarios.CheckID(h.Case) != nil:
		return missing("the name of the case")
	case h.CaseHash == "":
		return missing("the hash of the case")
	case h.Subject.Name == "" || h.Subject.Sex == "" || h.Subject.AgeY < 1:
		return missing("who the person is")
	case !bytes.HasPrefix(h.Rulebook, []byte("{")) || h.RulebookHash == "":
		return missing("the rulebook")
	case h.Mode == "":
		return missing("the mode")
	case h.Pack != nil:
		return h.Pack.check()
	}
	return nil
}

// A Line is one acknowledged command with all its events and the clock after it.
type Line struct {
	Prev    string // SHA-256 of the previous raw line, in hex
	AtS     int    // seconds since the encounter began, after the command
	WallS   int    // s since Header.Pack.BegunAt by the computer's clock, when the command was given; 0 outside a pack
	Command Command
	Events  []Event
}
