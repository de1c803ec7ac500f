package sqllog

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"kilopond/exercises"
)

// An Outcome says what became of a file that was taken in.
type Outcome string

// What can become of a file.
const (
	Added Outcome = "new"           // an attempt more
	Grown Outcome = "grown"         // the class had its beginning
	Known Outcome = "already there" // line for line; nothing was changed
	Older Outcome = "an older copy" // the class has more of it; nothing was changed
)

// An Imported is one file with what became of it.
type Imported struct {
	Outcome Outcome
	Place   string   // where the attempt stands in the class
	Lines   int      // that are new
	CutOff  bool     // the file ends in the middle of a line, which was never acknowledged and is left out
	Others  []string // places of other students that hold the same attempt line for line
}

// A Held is an attempt that the class has.
type Held struct {
	Place
	Code      string // of its pack; "" outside one
	ChangedMs int64  // when its file was last changed, ms UTC; 0 when it came from no file
	Lines     int    // without the header
}

// Check reads a file that is to be taken in; it is most of the work, and several may be checked at once. The error is *exercises.Damage.
func Check(data []byte) (*exercises.Attempt, error) {
	a := exercises.Read(data)
	if a.Damage != nil {
		return nil, a.Damage
	}
	for i, raw := range a.Raw {
		if !utf8.Valid(raw) {
			return nil, &exercises.Damage{Line: i + 1, Why: "a letter that is not UTF-8"}
		}
	}
	return a, nil
}

// Take takes a checked file of an attempt into the class, all of it or nothing. The error is a *Fault when the database does not do its work. When another
// attempt has the place, a free place beside it is taken.
func (s *Store) Take(ctx context.Context, at Place, a *exercises.Attempt, changedMs int64) (Imported, error) {
	out := Imported{CutOff: len(a.Unfinished) > 0}
	err := s.write(ctx, func(tx *sql.Tx) error {
		near, err := relatives(ctx, tx, a)
		if err != nil {
			return err
		}
		if r := same(near, at); r != nil {
			out.Outcome, out.Place = r.is, r.place
			if r.is != Grown {
				return nil
			}
			out.Lines = len(a.Raw) - 1 - r.last
			return s.grow(ctx, tx, *r, a, changedMs)
		}
		for _, r := range near {
			if r.is == Known && len(a.Lines) > 0 {
				out.Others = append(out.Others, r.place)
			}
		}
		out.Outcome, out.Lines = Added, len(a.Lines)
		if out.Place, err = freePlace(ctx, tx, at.Name); err != nil {
			return err
		}
		id, err := s.addAttempt(ctx, tx, Place{out.Place, at.Owner}, at.Name, a.Header, a.Raw[0], changedMs)
		for i := 1; i < len(a.Raw) && err == nil; i++ {
			err = addRow(ctx, tx, id, i, a.Raw[i])
		}
		return err
	})
	if err != nil {
		return Imported{}, err
	}
	slices.Sort(out.Others)
	return out, nil
}

// A relative is an attempt of the class with the same first line.
type relative struct {
	id                   int64
	place, source, owner string
	last                 int     // row, from 0
	sum                  string  // of it
	is                   Outcome // of the file that comes: Known, Grown, Older, or "" for another attempt
}

// same is the attempt of which a student's file is a copy: one that is equal, or one from the same file; nil when the class has not got it.
func same(near []relative, at Place) *relative {
	for _, both := range []bool{false, true} {
		for i, r := range near {
			if r.owner == at.Owner && (r.is == Known || both && r.is != "" && r.source == at.Name) {
				return &near[i]
			}
		}
	}
	return nil
}

// relatives compares an attempt with those of the class that begin alike.
func relatives(ctx context.Context, tx *sql.Tx, a *exercises.Attempt) ([]relative, error) {
	rows, err := tx.QueryContext(ctx, `SELECT a.attempt_id, a.place, a.source, a.owner, l.seq, l.sum
		FROM attempt a JOIN line l ON l.attempt_id = a.attempt_id
		WHERE a.header_sum = $1 AND l.seq = (SELECT MAX(m.seq) FROM line m WHERE m.attempt_id = a.attempt_id) ORDER BY a.attempt_id`, exercises.Sum(a.Raw[0]))
	if err != nil {
		return nil, err
	}
	var all []relative
	for rows.Next() {
		var r relative
		if err := rows.Scan(&r.id, &r.place, &r.source, &r.owner, &r.last, &r.sum); err != nil {
			return nil, errors.Join(err, rows.Close())
		}
		all = append(all, r)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return nil, err
	}
	for i := range all {
		r := &all[i]
		switch n := len(a.Raw) - 1; {
		case r.last == n && r.sum == a.Last():
			r.is = Known
		case r.last < n && r.sum == exercises.Sum(a.Raw[r.last]):
			r.is = Grown
		case r.last > n:
			var sum string
			if err := tx.QueryRowContext(ctx, `SELECT sum FROM line WHERE attempt_id = $1 AND seq = $2`, r.id, n).Scan(&sum); err != nil {
				return nil, err
			}
			if sum == a.Last() {
				r.is = Older
			}
		}
	}
	return all, nil
}

// grow adds the lines that the class has not got yet.
func (s *Store) grow(ctx context.Context, tx *sql.Tx, r relative, a *exercises.Attempt, changedMs int64) error {
	for i := r.last + 1; i < len(a.Raw); i++ {
		if err := addRow(ctx, tx, r.id, i, a.Raw[i]); err != nil {
			return err
		}
	}
	_, err := tx.ExecContext(ctx, `UPDATE attempt SET changed_ms = $1 WHERE attempt_id = $2`, changedMs, r.id)
	return err
}

// freePlace is the name itself, or with a number before its ending when it is taken: the owner by its file name stays the same.
func freePlace(ctx context.Context, tx *sql.Tx, name string) (string, error) {
	ext := path.Ext(name)
	for i := 1; ; i++ {
		try := name
		if i > 1 {
			try = fmt.Sprintf("%s.%d%s", strings.TrimSuffix(name, ext), i, ext)
		}
		var n int
		if err := tx.QueryRowContext(ctx, `SELECT COUNT(*) FROM attempt WHERE place = $1`, try).Scan(&n); err != nil {
			return "", err
		}
		if n == 0 {
			return try, nil
		}
	}
}

// Held lists the attempts of the class by their places.
func (s *Store) Held(ctx context.Context) ([]Held, error) {
	all, err := held(ctx, s.db)
	return all, s.fault(err)
}

func held(ctx context.Context, q query) ([]Held, error) {
	rows, err := q.QueryContext(ctx, `SELECT a.place, a.owner, a.code, a.changed_ms, (SELECT MAX(l.seq) FROM line l WHERE l.attempt_id = a.attempt_id) FROM attempt a`)
	if err != nil {
		return nil, err
	}
	var all []Held
	for rows.Next() {
		var h Held
		if err := rows.Scan(&h.Name, &h.Owner, &h.Code, &h.ChangedMs, &h.Lines); err != nil {
			return nil, errors.Join(err, rows.Close())
		}
		all = append(all, h)
	}
	slices.SortFunc(all, func(a, b Held) int { return strings.Compare(a.Name, b.Name) }) // the same order in every database
	return all, errors.Join(rows.Err(), rows.Close())
}

// Data returns an attempt as a file. A row that is not as it was kept is a *exercises.Damage error; the bytes come all the same.
func (s *Store) Data(ctx context.Context, place string) ([]byte, error) {
	l, err := s.Continue(ctx, place)
	if err != nil {
		return nil, err
	}
	data, changed, err := s.bytesOf(ctx, l.id)
	if err == nil && changed > 0 {
		err = &exercises.Damage{Line: changed, Why: "is not as it was kept: the class was changed"}
	}
	return data, err
}
