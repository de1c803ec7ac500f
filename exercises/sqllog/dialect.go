package sqllog

import (
	"context"
	"database/sql"
	"errors"
)

// A dialect is everything in which two databases differ for this package: sqlite.go and postgres.go have one each.
type dialect struct {
	// tables counts the tables of this package (class_store is looked for) and all others.
	tables string
	// lock is the first statement of a transaction that changes the class, and share of one that adds a line to one attempt: of these, several may run
	// at once. "" when beginning the transaction is enough.
	lock, share string
	// taken reports a key that exists already.
	taken func(error) bool
	// words are what is wrong in words of people, for the class of a name; nil when it is not known what it means.
	words func(err error, name string) *Fault
	// ownPlace is what to do when the database is another program's.
	ownPlace string
	// moment is the expression for what an erasure remembers of its moment; clean is run on the connection before it. rewrite then leaves no byte of
	// what was deleted at that moment in the tables; its error is a *Fault.
	moment, clean string
	rewrite       func(ctx context.Context, s *Store, moment string) error
}

// write does the work in one transaction that may change the class: all of it or nothing, and nobody else beside it. The work must not go on after an
// error.
func (s *Store) write(ctx context.Context, work func(tx *sql.Tx) error) error {
	return s.transact(ctx, s.d.lock, work)
}

// add does the work in one transaction that adds to one attempt.
func (s *Store) add(ctx context.Context, work func(tx *sql.Tx) error) error {
	return s.transact(ctx, s.d.share, work)
}

func (s *Store) transact(ctx context.Context, lock string, work func(tx *sql.Tx) error) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return s.fault(err)
	}
	if lock != "" {
		_, err = tx.ExecContext(ctx, lock)
	}
	if err == nil {
		err = work(tx)
	}
	if err == nil {
		return s.fault(tx.Commit())
	}
	if undone := tx.Rollback(); undone != nil && !errors.Is(undone, sql.ErrTxDone) { // done: taken back already, with the connection or when it was cancelled
		err = errors.Join(err, undone)
	}
	return s.fault(err)
}
