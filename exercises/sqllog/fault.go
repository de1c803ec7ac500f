package sqllog

import (
	"errors"
	"fmt"
	"io/fs"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// Faults on which a caller branches.
var (
	ErrBusy     = errors.New("busy")
	ErrReadOnly = errors.New("read-only")
	ErrFull     = errors.New("full")
	ErrNewer    = errors.New("newer")
	ErrNotClass = errors.New("not a class file")
	ErrDamaged  = errors.New("damaged")
)

// A Fault says what is wrong with a class file, where, and what to do about it.
type Fault struct {
	Path string // "" when it is no file
	What string
	Do   string
	Err  error // one of the faults above, or what the system said
}

func (f *Fault) Error() string {
	if f.Path == "" {
		return f.What
	}
	return f.Path + ": " + f.What
}

func (f *Fault) Unwrap() error { return f.Err }

func (s *Store) notADatabase() error {
	return &Fault{s.path, "not a class file", "name the file that kilopond class import or class roster made; this one was not touched", ErrNotClass}
}

func (s *Store) foreign() error {
	return &Fault{s.path, "a database of another program", "name the file that kilopond class import or class roster made; this one was not touched", ErrNotClass}
}

func (s *Store) empty() error {
	return &Fault{s.path, "holds no class yet", "kilopond class roster or class import fills it", ErrNotClass}
}

func (s *Store) newer(has, knows int) error {
	return &Fault{s.path, fmt.Sprintf("made by a newer version of this program (form %d; this one knows up to %d)", has, knows),
		"use the newer version; nothing was changed", ErrNewer}
}

// fault puts what the database said into words. What is known already, and nil, stay as they are.
func (s *Store) fault(err error) error {
	var known *Fault
	var missing *fs.PathError
	var e *sqlite.Error
	switch {
	case err == nil, errors.As(err, &known):
		return err
	case errors.As(err, &missing):
		if errors.Is(err, fs.ErrNotExist) && missing.Op != "open" {
			return &Fault{s.path, "no such class file", "kilopond class import FOLDER --db " + s.path + " makes one", err}
		}
		return &Fault{s.path, missing.Err.Error(), "name a file that you may read and write", err}
	case !errors.As(err, &e):
		return err
	}
	f := &Fault{Path: s.path, Err: err}
	const base = 0xff // a result code without what it says further. Source: [SQLITE-CODES].
	switch e.Code() & base {
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		f.What, f.Do, f.Err = "another program holds it, and did not let go in time", "close the other program, or try again; nothing was changed", ErrBusy
	case lib.SQLITE_READONLY, lib.SQLITE_PERM, lib.SQLITE_AUTH:
		f.What, f.Do, f.Err = "may be read but not written", "copy it, with its -wal file where there is one, to a folder of your own; nothing was changed", ErrReadOnly
	case lib.SQLITE_FULL:
		f.What, f.Do, f.Err = "there is no room left on the disk", "make room and do it again; what was not finished was taken back", ErrFull
	case lib.SQLITE_NOTADB:
		return s.notADatabase()
	case lib.SQLITE_CORRUPT:
		f.What, f.Do, f.Err = "damaged: it does not hold together any more", "go back to the last backup, and import the attempts again that came after it", ErrDamaged
	case lib.SQLITE_CANTOPEN:
		f.What, f.Do = "cannot be opened, or a file cannot be made beside it", "name a file in a folder where you may write"
	case lib.SQLITE_IOERR:
		f.What, f.Do = "the disk does not do what it should: "+e.Error(), "look after the disk, or copy the class file to another; what was not finished was taken back"
	default:
		return err
	}
	return f
}
