package sqllog

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// A Store is a class's database, open.
type Store struct {
	db   *sql.DB
	d    Dialect
	path string // of the class file; "" when it is no file
}

// Patience is how long a write waits for other processes before it gives up.
const Patience = 5 * time.Second // Source: [CHOICE-CLASS-FILE].

// Create opens a class file, and makes it when it is not there.
func Create(ctx context.Context, path string, patience time.Duration) (*Store, error) {
	return open(ctx, path, patience, true, writing())
}

// Open opens a class file that is there. It never makes one.
func Open(ctx context.Context, path string, patience time.Duration) (*Store, error) {
	return open(ctx, path, patience, false, writing())
}

// Read opens a class file that is there for reading only: not a byte of it changes.
func Read(ctx context.Context, path string, patience time.Duration) (*Store, error) {
	s, err := open(ctx, path, patience, false, reading())
	if left, gone := os.Stat(path + "-wal"); errors.Is(err, ErrReadOnly) && (gone != nil || left.Size() == 0) {
		return open(ctx, path, patience, false, alone()) // where nothing can be made beside it, on a disc or in another's folder
	}
	return s, err
}

func open(ctx context.Context, path string, patience time.Duration, fresh bool, how []string) (*Store, error) {
	s := &Store{d: SQLite(), path: path}
	if err := s.look(fresh); err != nil {
		return nil, err
	}
	address, err := address(path, patience, fresh, how)
	if err != nil {
		return nil, err
	}
	if s.db, err = sql.Open("sqlite", address); err != nil {
		return nil, s.fault(err)
	}
	s.db.SetMaxOpenConns(1) // writers of one process wait in line for it, which is fair; other processes by the busy timeout
	if err := s.migrate(ctx, fresh); err != nil {
		return nil, errors.Join(err, s.db.Close())
	}
	return s, nil
}

// Over opens a class in any database of a dialect, and makes its tables. Close closes the database.
func Over(ctx context.Context, db *sql.DB, d Dialect) (*Store, error) {
	s := &Store{db: db, d: d}
	return s, s.migrate(ctx, true)
}

// Path is the class file's.
func (s *Store) Path() string { return s.path }

// Close closes the class file.
func (s *Store) Close() error { return s.fault(s.db.Close()) }

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
		return &Fault{Path: s.path, What: "a folder, not a class file", Do: "name a file: --db class.db"}
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
		return s.notADatabase()
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
