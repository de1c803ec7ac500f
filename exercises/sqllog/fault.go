package sqllog

import (
	"context"
	"errors"
	"fmt"
)

// Faults on which a caller branches.
var (
	ErrBusy     = errors.New("busy")
	ErrReadOnly = errors.New("read-only")
	ErrFull     = errors.New("full")
	ErrNewer    = errors.New("newer")
	ErrNotClass = errors.New("not a class file")
	ErrDamaged  = errors.New("damaged")
	ErrRefused  = errors.New("refused") // a server does not let this user do it, or not in at all
	ErrAway     = errors.New("away")    // a server does not answer, or the connection to it broke off
)

// A Fault says what is wrong with a class, where, and what to do about it.
type Fault struct {
	Where string // the class file, or the server without a password
	What  string
	Do    string
	Err   error // one of the faults above, or what the system said
}

func (f *Fault) Error() string { return f.Where + ": " + f.What }

func (f *Fault) Unwrap() error { return f.Err }

func (s *Store) foreign() error {
	return &Fault{s.name, "a database of another program", s.d.ownPlace, ErrNotClass}
}

func (s *Store) empty() error {
	return &Fault{s.name, "holds no class yet", "kilopond class roster or class import fills it", ErrNotClass}
}

func (s *Store) newer(has, knows int) error {
	return &Fault{s.name, fmt.Sprintf("made by a newer version of this program (form %d; this one knows up to %d)", has, knows),
		"use the newer version; nothing was changed", ErrNewer}
}

// fault puts what the database said into words. What is known already, and nil, stay as they are.
func (s *Store) fault(err error) error {
	var known *Fault
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) {
		return err
	}
	if f := s.d.words(err, s.name); f != nil {
		return f
	}
	return err
}
