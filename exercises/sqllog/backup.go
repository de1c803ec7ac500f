package sqllog

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// A Copy is a backup or an export that was made of the class.
type Copy struct {
	Path   string
	Kind   string // backup, export
	MadeMs int64  // ms UTC
}

// Backup writes the whole class into a new file, as it stands at one moment, while others may go on writing. The file is there whole or not at all.
// An existing file is never overwritten.
func (s *Store) Backup(ctx context.Context, out string, nowMs int64) error {
	if s.path == "" {
		return &Fault{s.name, "a server's class is not copied into a file by this program", "who runs the server makes backups (pg_dump); kilopond class export writes attempts and roster as files", nil}
	}
	if _, err := os.Lstat(out); err == nil {
		return &Fault{out, "exists already; nothing is overwritten", "give another name", fs.ErrExist}
	}
	part := fmt.Sprintf("%s.part-%d", out, os.Getpid())
	if _, err := s.db.ExecContext(ctx, `VACUUM INTO $1`, part); err != nil {
		err = s.fault(err)
		if clear := os.Remove(part); clear != nil && !errors.Is(clear, fs.ErrNotExist) {
			return errors.Join(err, clear)
		}
		var f *Fault
		if errors.As(err, &f) && !errors.Is(err, ErrBusy) {
			return &Fault{out, "cannot be written: " + f.What, "give a file in a folder where there is room and where you may write", f.Err}
		}
		return err
	}
	if err := os.Chmod(part, 0o600); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err := os.Link(part, out); err != nil { // a link never overwrites
		if err := os.Rename(part, out); err != nil {
			return &Fault{out, "cannot be written", "give a file in a folder where you may write", err}
		}
	} else if err := os.Remove(part); err != nil {
		return err
	}
	return s.Note(ctx, out, "backup", nowMs)
}

// Note remembers that a copy was made, so that erasing can name it.
func (s *Store) Note(ctx context.Context, path, kind string, nowMs int64) error {
	abs, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	return s.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO class_copy (path, kind, made_ms) VALUES ($1, $2, $3)
			ON CONFLICT (path) DO UPDATE SET kind = excluded.kind, made_ms = excluded.made_ms`, abs, kind, nowMs)
		return err
	})
}

// Copies are the copies that were made, the oldest first; those that are gone, too.
func (s *Store) Copies(ctx context.Context) ([]Copy, error) {
	rows, err := s.db.QueryContext(ctx, `SELECT path, kind, made_ms FROM class_copy ORDER BY made_ms, path`)
	if err != nil {
		return nil, s.fault(err)
	}
	var all []Copy
	for rows.Next() {
		var c Copy
		if err := rows.Scan(&c.Path, &c.Kind, &c.MadeMs); err != nil {
			return nil, s.fault(errors.Join(err, rows.Close()))
		}
		all = append(all, c)
	}
	return all, s.fault(errors.Join(rows.Err(), rows.Close()))
}

// A Trace is a place where a word still stands.
type Trace struct {
	Path  string
	Word  string
	Times int
}

// Traces looks for words, byte by byte, in the class file and the two files that the database keeps beside it. In a server's class it looks into the
// rows that can be read.
func (s *Store) Traces(ctx context.Context, words []string) ([]Trace, error) {
	var all []Trace
	for _, word := range words {
		if s.path != "" {
			break
		}
		where, err := s.Mentions(ctx, word)
		if err != nil {
			return all, err
		}
		if len(where) > 0 {
			all = append(all, Trace{s.name, word, len(where)})
		}
	}
	for _, path := range Files(s.path) {
		found, err := TracesIn(path, words)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return all, s.fault(err)
		}
		all = append(all, found...)
	}
	return all, nil
}

// TracesIn looks for words in a file, or in all files of a folder and their names.
func TracesIn(path string, words []string) ([]Trace, error) {
	var all []Trace
	err := filepath.WalkDir(path, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		var data []byte
		if d.Type().IsRegular() {
			if data, err = os.ReadFile(p); err != nil {
				return err
			}
		}
		below := strings.TrimPrefix(p, path)
		for _, w := range words {
			if n := bytes.Count(data, []byte(w)) + strings.Count(below, w); n > 0 {
				all = append(all, Trace{p, w, n})
			}
		}
		return nil
	})
	return all, err
}

// Mentions are the places of attempts in which a word stands, the students in whose row it does, and the copies whose path holds it: after an erasure they are others'.
func (s *Store) Mentions(ctx context.Context, word string) ([]string, error) {
	held, err := s.Held(ctx)
	if err != nil {
		return nil, err
	}
	var all []string
	for _, h := range held {
		data, err := s.Data(ctx, h.Name)
		if err != nil {
			return nil, err
		}
		if bytes.Contains(data, []byte(word)) || slices.ContainsFunc([]string{h.Name, h.Owner, h.Code}, func(t string) bool { return strings.Contains(t, word) }) {
			all = append(all, h.Name)
		}
	}
	known, err := s.Members(ctx)
	if err != nil {
		return nil, err
	}
	for _, m := range known {
		if slices.ContainsFunc(append([]string{m.Key, m.Name, m.Group}, m.Codes...), func(t string) bool { return strings.Contains(t, word) }) {
			all = append(all, "student "+m.Key)
		}
	}
	copies, err := s.Copies(ctx)
	for _, c := range copies {
		if strings.Contains(c.Path, word) {
			all = append(all, "the path of the "+c.Kind+" "+c.Path)
		}
	}
	return all, err
}
