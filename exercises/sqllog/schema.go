package sqllog

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
)

//go:embed migrations/*.sql
var migrations embed.FS

// steps are the migrations in the order of their numbers, the first one making version 1.
func steps() ([]string, error) {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	var all []string
	for i, name := range names {
		if number, _, _ := strings.Cut(strings.TrimPrefix(name, "migrations/"), "_"); number != fmt.Sprintf("%04d", i+1) {
			return nil, fmt.Errorf("sqllog: migration %s stands at place %d", name, i+1)
		}
		data, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		all = append(all, string(data))
	}
	return all, nil
}

// schemaVersion is the row of class_store that says which migrations have been done.
const schemaVersion = "schema"

// A query is a database or a transaction.
type query interface {
	QueryRowContext(ctx context.Context, q string, args ...any) *sql.Row
	QueryContext(ctx context.Context, q string, args ...any) (*sql.Rows, error)
}

// version returns the schema's version, 0 when nothing has been made yet. A database with tables that are not ours is a fault.
func (s *Store) version(ctx context.Context, q query) (int, error) {
	var ours, all int
	if err := q.QueryRowContext(ctx, s.d.tables).Scan(&ours, &all); err != nil {
		return 0, err
	}
	if ours == 0 && all > 0 {
		return 0, s.foreign()
	}
	if ours == 0 {
		return 0, nil
	}
	var text string
	err := q.QueryRowContext(ctx, `SELECT value FROM class_store WHERE name = $1`, schemaVersion).Scan(&text)
	switch {
	case errors.Is(err, sql.ErrNoRows): // a class file says its form in the step that makes the table
		return 0, s.foreign()
	case err != nil:
		return 0, err
	}
	v, err := strconv.Atoi(text)
	if err != nil || v < 1 {
		return 0, s.foreign()
	}
	return v, nil
}

// migrate brings the schema to this program's version, in one transaction: several processes may come at once. With fresh false, and for a
// database that is newer, it changes nothing and is a fault.
func (s *Store) migrate(ctx context.Context, fresh bool) error {
	all, err := steps()
	if err != nil {
		return err
	}
	v, err := s.version(ctx, s.db)
	if err != nil {
		return s.fault(err)
	}
	switch {
	case v > len(all):
		return s.newer(v, len(all))
	case v == len(all):
		return nil
	case v == 0 && !fresh:
		return s.empty()
	}
	return s.write(ctx, func(tx *sql.Tx) error {
		v, err := s.version(ctx, tx) // another process may have been faster
		if err != nil {
			return err
		}
		if v > len(all) {
			return s.newer(v, len(all))
		}
		for _, step := range all[v:] {
			if _, err := tx.ExecContext(ctx, step); err != nil {
				return err
			}
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO class_store (name, value) VALUES ($1, $2) ON CONFLICT (name) DO UPDATE SET value = excluded.value`,
			schemaVersion, strconv.Itoa(len(all)))
		return err
	})
}
