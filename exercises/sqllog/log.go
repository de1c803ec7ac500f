package sqllog

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"

	"kilopond/exercises"
)

// A Log is one attempt in the class. Several may be open on the same attempt: whoever comes second with a line gets ErrConflict.
type Log struct {
	s  *Store
	id int64
}

var _ exercises.Log = (*Log)(nil)

// A Place names an attempt in the class.
type Place struct {
	Name  string // as a file's, with slashes, unique
	Owner string // whose it is by its file's place
}

// Begin makes an attempt, its header acknowledged when Begin has returned. ErrTaken when the place is.
func (s *Store) Begin(ctx context.Context, at Place, h exercises.Header) (*Log, error) {
	raw, err := exercises.EncodeHeader(h)
	if err != nil {
		return nil, err
	}
	l := &Log{s: s}
	err = s.write(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, `SELECT COUNT(*) FROM attempt WHERE place = $1`, at.Name).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return fmt.Errorf("%w: %s", ErrTaken, at.Name)
		}
		l.id, err = s.addAttempt(ctx, tx, at, at.Name, h, raw, 0)
		return err
	})
	if err != nil {
		return nil, err
	}
	return l, nil
}

// ErrTaken: the class has an attempt of that place already.
var ErrTaken = errors.New("the class has this attempt already")

// ErrNone: the class has no attempt of that place.
var ErrNone = errors.New("no such attempt in the class")

// Continue opens the attempt of a place.
func (s *Store) Continue(ctx context.Context, place string) (*Log, error) {
	l := &Log{s: s}
	err := s.db.QueryRowContext(ctx, `SELECT attempt_id FROM attempt WHERE place = $1`, place).Scan(&l.id)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, fmt.Errorf("%w: %s", ErrNone, place)
	}
	return l, s.fault(err)
}

// addAttempt adds an attempt with its first row under an id of its own.
func (s *Store) addAttempt(ctx context.Context, tx *sql.Tx, at Place, source string, h exercises.Header, raw []byte, changedMs int64) (int64, error) {
	var bits [8]byte
	if _, err := rand.Read(bits[:]); err != nil {
		return 0, err
	}
	id := int64(binary.LittleEndian.Uint64(bits[:]) >> 1)
	code := ""
	if h.Pack != nil {
		code = h.Pack.Code
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO attempt (attempt_id, place, source, owner, code, header_sum, changed_ms) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		id, at.Name, source, at.Owner, code, exercises.Sum(raw), changedMs)
	if err != nil {
		return 0, err
	}
	return id, addRow(ctx, tx, id, 0, raw)
}

// addRow adds a raw line; seq is 0 for the header.
func addRow(ctx context.Context, tx *sql.Tx, id int64, seq int, raw []byte) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO line (attempt_id, seq, raw, sum) VALUES ($1, $2, $3, $4)`, id, seq, string(raw), exercises.Sum(raw))
	return err
}

// chainEnd is the last row of an attempt: its seq, and its sum.
func chainEnd(ctx context.Context, q query, id int64) (seq int, sum string, err error) {
	err = q.QueryRowContext(ctx, `SELECT seq, sum FROM line WHERE attempt_id = $1 ORDER BY seq DESC LIMIT 1`, id).Scan(&seq, &sum)
	return seq, sum, err
}

// Append adds a line after the first seq lines and returns when it is committed.
func (l *Log) Append(seq int, line exercises.Line) (exercises.Line, error) {
	ctx := context.Background()
	err := l.s.add(ctx, func(tx *sql.Tx) error {
		n, sum, err := chainEnd(ctx, tx, l.id)
		if err != nil {
			return err
		}
		if n != seq {
			return fmt.Errorf("%w: it has %d lines, not %d", exercises.ErrConflict, n, seq)
		}
		line.Prev = sum
		raw, err := exercises.EncodeLine(line)
		if err != nil {
			return err
		}
		err = addRow(ctx, tx, l.id, seq+1, raw)
		if l.s.d.taken(err) {
			return fmt.Errorf("%w: somebody else was faster", exercises.ErrConflict)
		}
		return err
	})
	if err != nil {
		return exercises.Line{}, err
	}
	return line, nil
}

// Attempt reads everything that was acknowledged.
func (l *Log) Attempt() (*exercises.Attempt, error) {
	data, changed, err := l.s.bytesOf(context.Background(), l.id)
	if err != nil {
		return nil, err
	}
	a := exercises.Read(data)
	if changed > 0 && (a.Damage == nil || a.Damage.Line > changed) {
		a.Damage = &exercises.Damage{Line: changed, Why: "is not as it was kept: the class was changed"}
		a.Raw = a.Raw[:changed-1]
		a.Lines = a.Lines[:max(0, changed-2)]
	}
	return a, nil
}

// Close leaves the class open.
func (l *Log) Close() error { return nil }

// bytesOf returns an attempt as a file, and the first line, from 1, whose sum is not the one that was kept; 0 when all are.
func (s *Store) bytesOf(ctx context.Context, id int64) (data []byte, changed int, err error) {
	rows, err := s.db.QueryContext(ctx, `SELECT seq, raw, sum FROM line WHERE attempt_id = $1 ORDER BY seq`, id)
	if err != nil {
		return nil, 0, s.fault(err)
	}
	var b bytes.Buffer
	for n := 0; rows.Next(); n++ {
		var seq int
		var raw, sum string
		if err := rows.Scan(&seq, &raw, &sum); err != nil {
			return nil, 0, s.fault(errors.Join(err, rows.Close()))
		}
		if changed == 0 && (seq != n || exercises.Sum([]byte(raw)) != sum) {
			changed = n + 1
		}
		b.WriteString(raw)
		b.WriteByte('\n')
	}
	return b.Bytes(), changed, s.fault(errors.Join(rows.Err(), rows.Close()))
}
