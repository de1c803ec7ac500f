package sqllog

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// classFile is the dialect of a class file. Its connections begin transactions with BEGIN IMMEDIATE.
func classFile() dialect {
	return dialect{
		tables: `SELECT COUNT(*) FILTER (WHERE name = 'class_store'), COUNT(*) FROM sqlite_master
			WHERE type = 'table'`,
		taken: func(err error) bool {
			var e *sqlite.Error
			return errors.As(err, &e) && (e.Code() == lib.SQLITE_CONSTRAINT_PRIMARYKEY || e.Code() == lib.SQLITE_CONSTRAINT_UNIQUE)
		},
		words:    fileWords,
		ownPlace: "name the file that kilopond class import or class roster made; this one was not touched",
		moment:   `'1'`,
		clean:    `PRAGMA secure_delete = ON`,
		rewrite: func(ctx context.Context, s *Store, _ string) error {
			for _, q := range []string{`PRAGMA secure_delete = ON`, `VACUUM`} {
				if _, err := s.db.ExecContext(ctx, q); err != nil {
					return s.fault(err)
				}
			}
			var busy, pages, moved int
			if err := s.db.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &pages, &moved); err != nil {
				return s.fault(err)
			}
			if busy != 0 {
				return &Fault{s.name, "another program reads it, so old bytes are still in the file beside it that ends in -wal",
					"close the other program and give the same command again", ErrBusy}
			}
			return nil
		},
	}
}

// magic begins every SQLite file. Source: [SQLITE-FORMAT].
const magic = "SQLite format 3\x00"

// look refuses what is no class file before the database touches it.
func (s *Store) look(fresh bool) error {
	info, err := os.Stat(s.path)
	switch {
	case errors.Is(err, os.ErrNotExist) && fresh:
		f, err := os.OpenFile(s.path, os.O_RDWR|os.O_CREATE, 0o600) // names and marks are for the owner only; the database keeps this for the files beside it
		if err != nil {
			return s.fault(err)
		}
		return s.fault(f.Close())
	case err != nil:
		return s.fault(err)
	case info.IsDir():
		return &Fault{Where: s.name, What: "a folder, not a class file", Do: "name a file: --db class.db"}
	case !info.Mode().IsRegular():
		return &Fault{Where: s.name, What: "not an ordinary file", Do: "name a file: --db class.db"}
	}
	f, err := os.Open(s.path)
	if err != nil {
		return s.fault(err)
	}
	head := bytes.Repeat([]byte{0}, len(magic))
	n, err := io.ReadFull(f, head)
	if err = errors.Join(ignoreEOF(err), f.Close()); err != nil {
		return s.fault(err)
	}
	if n > 0 && string(head[:n]) != magic {
		return notADatabase(s.name)
	}
	return nil
}

func ignoreEOF(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return nil
	}
	return err
}

// How a class file is opened: to write in it, or to leave it as it is.
func writing() []string { return []string{"journal_mode(WAL)", "synchronous(NORMAL)"} }
func reading() []string { return []string{"query_only(1)"} }
func alone() []string   { return []string{"query_only(1)&immutable=1"} }

// address is the data source of a class file. busy_timeout comes first; transactions take the write lock at their beginning, since a read lock cannot
// wait to become one. No temporary file ever holds a part of it.
func address(path string, patience time.Duration, fresh bool, how []string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	slashed := filepath.ToSlash(abs)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // a drive
	}
	mode := "rw"
	if fresh {
		mode = "rwc"
	}
	query := fmt.Sprintf("mode=%s&_txlock=immediate&_pragma=busy_timeout(%d)&_pragma=foreign_keys(1)&_pragma=temp_store(MEMORY)", mode, patience.Milliseconds())
	for _, pragma := range how {
		query += "&_pragma=" + pragma
	}
	u := url.URL{Scheme: "file", Path: slashed, RawQuery: query}
	return u.String(), nil
}

func notADatabase(name string) *Fault {
	return &Fault{name, "not a class file", "name the file that kilopond class import or class roster made; this one was not touched", ErrNotClass}
}

// fileWords puts what the file system or SQLite said into words.
func fileWords(err error, name string) *Fault {
	var missing *fs.PathError
	var e *sqlite.Error
	switch {
	case errors.As(err, &missing):
		if errors.Is(err, fs.ErrNotExist) && missing.Op != "open" {
			return &Fault{name, "no such class file", "kilopond class import FOLDER --db " + name + " makes one", err}
		}
		return &Fault{name, missing.Err.Error(), "name a file that you may read and write", err}
	case !errors.As(err, &e):
		return nil
	}
	const base = 0xff // a result code without what it says further. Source: [SQLITE-CODES].
	switch e.Code() & base {
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return &Fault{name, "another program holds it, and did not let go in time", "close the other program, or try again; nothing was changed", ErrBusy}
	case lib.SQLITE_READONLY, lib.SQLITE_PERM, lib.SQLITE_AUTH:
		return &Fault{name, "may be read but not written", "copy it, with its -wal file where there is one, to a folder of your own; nothing was changed", ErrReadOnly}
	case lib.SQLITE_FULL:
		return &Fault{name, "there is no room left on the disk", "make room and do it again; what was not finished was taken back", ErrFull}
	case lib.SQLITE_NOTADB:
		return notADatabase(name)
	case lib.SQLITE_CORRUPT:
		return &Fault{name, "damaged: it does not hold together any more", "go back to the last backup, and import the attempts again that came after it", ErrDamaged}
	case lib.SQLITE_CANTOPEN:
		return &Fault{name, "cannot be opened, or a file cannot be made beside it", "name a file in a folder where you may write", err}
	case lib.SQLITE_IOERR:
		return &Fault{name, "the disk does not do what it should: " + e.Error(), "look after the disk, or copy the class file to another; what was not finished was taken back", err}
	}
	return nil
}
