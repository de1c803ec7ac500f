package sqllog

import (
	"context"
	"database/sql"
	"errors"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// A Dialect is everything in which two databases differ for this package.
type Dialect struct {
	Name string
	// tables counts the tables of this package (class_store is looked for) and all others.
	tables string
	// lock is the first statement of a transaction that will write; "" when beginning it is enough.
	lock string
	// taken reports a key that exists already.
	taken func(error) bool
	// before and after stand around an erasure; emptied empties the write-ahead log and returns (busy, pages, moved), "" where there is none.
	before, after []string
	emptied       string
}

// SQLite is the dialect of a class file. Its connections must begin transactions with BEGIN IMMEDIATE.
func SQLite() Dialect {
	return Dialect{
		Name: "sqlite",
		tables: `SELECT COUNT(*) FILTER (WHERE name = 'class_store'), COUNT(*) FROM sqlite_master
			WHERE type = 'table'`,
		taken: func(err error) bool {
			var e *sqlite.Error
			return errors.As(err, &e) && (e.Code() == lib.SQLITE_CONSTRAINT_PRIMARYKEY || e.Code() == lib.SQLITE_CONSTRAINT_UNIQUE)
		},
		before:  []string{`PRAGMA secure_delete = ON`},
		after:   []string{`PRAGMA secure_delete = ON`, `VACUUM`},
		emptied: `PRAGMA wal_checkpoint(TRUNCATE)`,
	}
}

// PostgreSQL is the dialect of a department's database, for a driver whose errors have an SQLState method. One writer at a time changes
// the tables: the lock is given back at the end of the transaction.
func PostgreSQL() Dialect {
	const uniqueViolation = "23505" // Source: [POSTGRESQL-CODES].
	return Dialect{
		Name: "postgres",
		tables: `SELECT COUNT(*) FILTER (WHERE table_name = 'class_store'), COUNT(*) FROM information_schema.tables
			WHERE table_schema = current_schema()`,
		lock: `SELECT pg_advisory_xact_lock(5004)`,
		taken: func(err error) bool {
			var e interface{ SQLState() string }
			return errors.As(err, &e) && e.SQLState() == uniqueViolation
		},
		after: []string{`VACUUM FULL`},
	}
}

// write does the work in one transaction that may write: all of it or nothing. The work must not go on after an error.
func (s *Store) write(ctx context.Context, work func(tx *sql.Tx) error) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return s.fault(err)
	}
	if s.d.lock != "" {
		_, err = tx.ExecContext(ctx, s.d.lock)
	}
	if err == nil {
		err = work(tx)
	}
	if err != nil {
		return s.fault(errors.Join(err, tx.Rollback()))
	}
	return s.fault(tx.Commit())
}
