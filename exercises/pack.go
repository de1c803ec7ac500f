package exercises

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"kilopond/scenarios"
)

// PackFormat is the first field of a pack.
const PackFormat = "pack/1"

// A Pack is one student's assignment: the terms in clear, the subjects sealed under the student's code. It holds no name.
//
// What it hides: who it is for, which cases and seeds come, how many of them must be stopped, from everybody who has not got the code. What it does
// not hide: anything from a program of one's own that is given the code, or the patience to try the million codes that share its label.
type Pack struct {
	Format string `json:"kilopond"`
	Label  string `json:"label"` // the first half of the code
	Terms
	TimeFactor float64   `json:"time_factor"`          // 1; above it more time; 0: no limit on a sitting
	Extra      int       `json:"extra,omitempty"`      // attempts above Terms.Attempts
	ReportFrom time.Time `json:"report_from,omitzero"` // with ReportAfter
	Subjects   int       `json:"subjects"`
	Sealed     []byte    `json:"sealed"`
	hash       string
}

// A Sitter is one person in a pack.
type Sitter struct {
	Case     string         `json:"case"`
	CaseHash string         `json:"case_hash"`
	Seed     scenarios.Seed `json:"seed"`
}

// Hash is the SHA-256 of the pack as a file, without the newline at its end, in hex.
func (p Pack) Hash() string { return p.hash }

// Tries is how many attempts the student has at each subject.
func (p Pack) Tries() int { return p.Attempts + p.Extra }

// Limit is the time for one subject, 0 when there is none.
func (p Pack) Limit() time.Duration {
	return time.Duration(float64(float64(p.SittingMin)*p.TimeFactor) * float64(time.Minute))
}

// Faults of a pack on which a caller branches.
var (
	// ErrEdited: the file is not as the instructor made it.
	ErrEdited = errors.New("this is not a pack as it was made: it was edited, cut short or converted on its way")
	// ErrOtherCode: the pack belongs to somebody else.
	ErrOtherCode = errors.New("the pack belongs to another code")
)

// Bounds of a pack's file. Source: [CHOICE-PACK].
const (
	mostPackBytes = 4 << 20
	mostFactor    = 10
)

// ReadPack reads a pack's file. ErrEdited says that it is not as it was made.
func ReadPack(data []byte) (Pack, error) {
	var p Pack
	if len(data) > mostPackBytes {
		return p, fmt.Errorf("%d bytes: too large to be a pack", len(data))
	}
	raw := bytes.TrimRight(bytes.TrimPrefix(data, []byte("\ufeff")), "\r\n")
	var kind struct {
		Format string `json:"kilopond"`
	}
	if err := json.Unmarshal(raw, &kind); err != nil || kind.Format == "" {
		return p, errors.New("this file is no pack")
	}
	switch kind.Format {
	case PackFormat:
	case AssignmentFormat:
		return p, errors.New("this is the instructor's own file, not a pack")
	case Format:
		return p, errors.New("this is an attempt, not a pack")
	default:
		return p, fmt.Errorf("a file of the form %.40q: this program reads packs of the form %q", kind.Format, PackFormat)
	}
	if err := strict(raw, &p); err != nil {
		return Pack{}, fmt.Errorf("%w (%w)", ErrEdited, err)
	}
	again, err := encodePack(p)
	if err != nil || !bytes.Equal(again, raw) {
		return Pack{}, ErrEdited
	}
	if err := p.check(); err != nil {
		return Pack{}, fmt.Errorf("%w (%w)", ErrEdited, err)
	}
	p.hash = Sum(raw)
	return p, nil
}

func (p Pack) check() error {
	switch {
	case len(p.Label) != halfCode:
		return errors.New("label")
	case !(p.TimeFactor == 0 || p.TimeFactor >= 1 && p.TimeFactor <= mostFactor):
		return fmt.Errorf("time factor %v", p.TimeFactor)
	case p.Extra < 0 || p.Extra > mostAttempts:
		return fmt.Errorf("%d extra attempts", p.Extra)
	case p.Subjects < 1 || p.Subjects > mostSubjects:
		return fmt.Errorf("%d subjects", p.Subjects)
	}
	return p.Terms.Check()
}

// Encode returns the pack as a file, with a newline at its end.
func (p Pack) Encode() ([]byte, error) {
	raw, err := encodePack(p)
	if err != nil {
		return nil, err
	}
	return append(raw, '\n'), nil
}

// encodePack is one line without a newline.
func encodePack(p Pack) ([]byte, error) { return json.Marshal(p) }

// sealedBytes is the room for one person, so that the length of what is sealed says nothing about who they are.
const sealedBytes = 192

// packSealed is what is under the seal.
type packSealed struct {
	People [][]Sitter `json:"people"`        // by subject and try
	Own    []CaseRef  `json:"own,omitempty"` // the instructor's own cases, each with its file
}

// seal puts the subjects into the pack under a code and notes its hash. sitters is by subject and try. Every pack of an assignment carries the same
// own cases, so that the length tells no student anything about another.
func (p Pack) seal(code string, sitters [][]Sitter, own []CaseRef) (Pack, error) {
	plain, err := json.Marshal(packSealed{sitters, own})
	if err != nil {
		return p, err
	}
	n := sealedBytes * p.Subjects * p.Tries()
	for _, one := range own {
		n += sealedBytes + 2*len(one.File) // room for what a line of text takes more within JSON
	}
	if len(plain) < n {
		plain = append(plain, bytes.Repeat([]byte(" "), n-len(plain))...)
	}
	lock, clear, err := p.lock(code)
	if err != nil {
		return p, err
	}
	p.Sealed = lock.Seal(nil, make([]byte, lock.NonceSize()), plain, clear) // one text for each key, so that the nonce may stand still
	raw, err := encodePack(p)
	if err != nil {
		return p, err
	}
	p.hash = Sum(raw)
	return p, nil
}

// A PackInside is what a pack holds under its seal.
type PackInside struct {
	People [][]Sitter // by subject and try
	Own    []scenarios.Case
}

// Open returns what is under the seal. ErrOtherCode when the code is not the pack's; ErrEdited when the terms were changed.
func (p Pack) Open(code string) (PackInside, error) {
	var in PackInside
	if Label(code) != p.Label {
		return in, fmt.Errorf("%w: it is marked %s, and your code begins with %s", ErrOtherCode, p.Label, Label(code))
	}
	lock, clear, err := p.lock(code)
	if err != nil {
		return in, err
	}
	plain, err := lock.Open(nil, make([]byte, lock.NonceSize()), p.Sealed, clear)
	if err != nil {
		return in, fmt.Errorf("%w, or the second half of the code is wrong, or the pack was edited", ErrOtherCode)
	}
	var sealed packSealed
	if err := strict(plain, &sealed); err != nil {
		return in, fmt.Errorf("%w (%w)", ErrEdited, err)
	}
	if len(sealed.People) != p.Subjects {
		return in, ErrEdited
	}
	for _, tries := range sealed.People {
		if len(tries) != p.Tries() {
			return in, ErrEdited
		}
		for _, s := range tries {
			if !s.Seed.OfPack() || !hash64(s.CaseHash) || s.Case == "" {
				return in, ErrEdited
			}
		}
	}
	in.People = sealed.People
	in.Own, err = ownCases(sealed.Own)
	return in, err
}

// lock is the cipher of a code, with everything that stands in clear bound to it.
func (p Pack) lock(code string) (cipher.AEAD, []byte, error) {
	p.Sealed = nil
	clear, err := encodePack(p)
	if err != nil {
		return nil, nil, err
	}
	key := sha256.Sum256([]byte("pack/" + p.Assignment + "/" + code))
	block, err := aes.NewCipher(key[:])
	if err != nil {
		return nil, nil, err
	}
	lock, err := cipher.NewGCM(block)
	return lock, clear, err
}
