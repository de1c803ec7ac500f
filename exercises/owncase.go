package exercises

import (
	"fmt"

	"kilopond/scenarios"
)

// mostOwnBytes is how much all own cases of one assignment may hold: each student's pack carries them. Source: [CHOICE-PACK].
const mostOwnBytes = 512 << 10

// A CaseRef fixes a case by its bytes. One that no program ships, the instructor's own, brings them along.
type CaseRef struct {
	ID   string `json:"id"`
	Hash string `json:"hash"`
	File string `json:"file,omitempty"`
}

// refOf fixes a case.
func refOf(c scenarios.Case) CaseRef {
	r := CaseRef{ID: c.ID, Hash: c.Hash}
	if _, same := scenarios.Shipped(c.ID, c.Hash); !same {
		r.File = c.File
	}
	return r
}

// check says whether the file, if there is one, is what the hash says.
func (r CaseRef) check() error {
	if !hash64(r.Hash) || r.ID == "" {
		return fmt.Errorf("case %q: its hash is none", r.ID)
	}
	if r.File != "" && Sum([]byte(r.File)) != r.Hash {
		return fmt.Errorf("case %q: its file is not the one that was assigned", r.ID)
	}
	return nil
}

// ownRefs are the instructor's own among the cases. None may have the name of one that ships.
func ownRefs(cases []scenarios.Case) (own []CaseRef, err error) {
	size := 0
	for _, c := range cases {
		r := refOf(c)
		known, _ := scenarios.Shipped(c.ID, c.Hash)
		switch {
		case r.File != "" && known:
			return nil, fmt.Errorf("case %s: a case that ships has this name; give yours another", c.ID)
		case r.File != "":
			size += len(r.File)
			own = append(own, r)
		}
	}
	if size > mostOwnBytes {
		return nil, fmt.Errorf("the cases of your own hold %d kB, and each pack would carry them: at most %d", (size+1023)>>10, mostOwnBytes>>10)
	}
	return own, nil
}

// ownCases reads own cases from what was carried.
func ownCases(refs []CaseRef) ([]scenarios.Case, error) {
	var own []scenarios.Case
	for _, r := range refs {
		if r.File == "" {
			continue
		}
		if err := r.check(); err != nil {
			return nil, fmt.Errorf("%w (%w)", ErrEdited, err)
		}
		c, err := scenarios.DecodeCase(r.ID+".yaml", []byte(r.File))
		if err != nil {
			return nil, fmt.Errorf("case %s cannot be used here: %w", r.ID, err)
		}
		if c.ID != r.ID {
			return nil, fmt.Errorf("case %s: its file is that of %s", r.ID, c.ID)
		}
		own = append(own, c)
	}
	return own, nil
}

// Own are the instructor's own cases that the assignment uses.
func (a Assignment) Own() ([]scenarios.Case, error) { return ownCases(a.Cases) }
