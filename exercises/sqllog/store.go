package sqllog

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"time"
)

// A Store is a class's database, open.
type Store struct {
	db   *sql.DB
	d    dialect
	path string // of the class file; "" when a server keeps the class
	name string // as it is told: the path, or the server's address without the password
}

// Patience is how long a write waits for others before it gives up.
const Patience = 5 * time.Second // Source: [CHOICE-CLASS-FILE].

// Create opens a class, and makes it when it is not there: a class file by its path, or the tables in a server's database by its address. It makes no
// database on a server.
func Create(ctx context.Context, where string, patience time.Duration) (*Store, error) {
	if IsServer(where) {
		return openServer(ctx, where, patience, true, false)
	}
	return openFile(ctx, where, patience, true, writing())
}

// Open opens a class that is there. It never makes one.
func Open(ctx context.Context, where string, patience time.Duration) (*Store, error) {
	if IsServer(where) {
		return openServer(ctx, where, patience, false, false)
	}
	return openFile(ctx, where, patience, false, writing())
}

// Read opens a class that is there for reading only: not a byte of a class file changes.
func Read(ctx context.Context, where string, patience time.Duration) (*Store, error) {
	if IsServer(where) {
		return openServer(ctx, where, patience, false, true)
	}
	s, err := openFile(ctx, where, patience, false, reading())
	if left, gone := os.Stat(where + "-wal"); errors.Is(err, ErrReadOnly) && (gone != nil || left.Size() == 0) {
		return openFile(ctx, where, patience, false, alone()) // where nothing can be made beside it, on a disc or in another's folder
	}
	return s, err
}

func openFile(ctx context.Context, path string, patience time.Duration, fresh bool, how []string) (*Store, error) {
	s := &Store{d: classFile(), path: path, name: path}
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
	return s.migrated(ctx, fresh)
}

func openServer(ctx context.Context, where string, patience time.Duration, fresh, reads bool) (*Store, error) {
	s := &Store{d: server()}
	var err error
	if s.db, s.name, err = connect(where, patience, reads); err != nil {
		return nil, err
	}
	return s.migrated(ctx, fresh)
}

// migrated is the store with its schema at this program's version, or closed again.
func (s *Store) migrated(ctx context.Context, fresh bool) (*Store, error) {
	if err := s.migrate(ctx, fresh); err != nil {
		return nil, errors.Join(err, s.db.Close())
	}
	return s, nil
}

// Name is the class as it is told: the class file's path, or the server's address without the password.
func (s *Store) Name() string { return s.name }

// Files are the class file and those that the database keeps beside it; none when a server keeps the class.
func Files(where string) []string {
	if where == "" || IsServer(where) {
		return nil
	}
	return []string{where, where + "-wal", where + "-shm"}
}

// Close closes the class.
func (s *Store) Close() error { return s.fault(s.db.Close()) }
