package sqllog

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"

	"kilopond/exercises"
)

// An Erased is what was taken out of the class.
type Erased struct {
	Key      string
	Name     string // "" when no roster named it
	Codes    []string
	Attempts []string // their places
	Lines    int
}

// Words are what must not be found any more: name, key and codes.
func (e Erased) Words() []string {
	var all []string
	for _, w := range append([]string{e.Name, e.Key}, e.Codes...) {
		if w != "" && !slices.Contains(all, w) {
			all = append(all, w)
		}
	}
	return all
}

// ErrNobody: the class knows nobody by that key or code.
var ErrNobody = errors.New("nobody in the class has that key or code")

// erasing is the row of class_store that stands while an erasure has not been finished.
const erasing = "erasing"

// Erase takes a student out of the class: row of the roster, codes, and every attempt that is theirs by code or by its file's place. Then a class file is
// written anew and its write-ahead log emptied, so that no byte of them is left; a server writes its tables anew, and what its own log of changes,
// statistics, copies and replicas hold is beyond this program. ErrNobody when who is neither a key nor a code that the class
// knows. When only the second half failed, the error is a *Fault, the result says what was taken out, and FinishErasing does the rest.
func (s *Store) Erase(ctx context.Context, who string) (Erased, error) {
	var out Erased
	if s.d.clean != "" {
		if _, err := s.db.ExecContext(ctx, s.d.clean); err != nil {
			return out, s.fault(err)
		}
	}
	err := s.write(ctx, func(tx *sql.Tx) error {
		known, err := members(ctx, tx)
		if err != nil {
			return err
		}
		all, err := held(ctx, tx)
		if err != nil {
			return err
		}
		out = theirs(who, known, all)
		if out.Key == "" {
			return ErrNobody
		}
		for _, place := range out.Attempts {
			r, err := tx.ExecContext(ctx, `DELETE FROM line WHERE attempt_id IN (SELECT attempt_id FROM attempt WHERE place = $1)`, place)
			if err != nil {
				return err
			}
			n, err := r.RowsAffected()
			if err != nil {
				return err
			}
			out.Lines += int(n)
			if _, err = tx.ExecContext(ctx, `DELETE FROM attempt WHERE place = $1`, place); err != nil {
				return err
			}
		}
		for _, q := range []string{`DELETE FROM student_code WHERE student_key = $1`, `DELETE FROM student WHERE student_key = $1`} {
			if _, err := tx.ExecContext(ctx, q, out.Key); err != nil {
				return err
			}
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO class_store (name, value) VALUES ($1, `+s.d.moment+`) ON CONFLICT (name) DO UPDATE SET value = excluded.value`, erasing)
		return err
	})
	if err != nil {
		return Erased{}, err
	}
	return out, s.FinishErasing(ctx)
}

// FinishErasing writes the tables anew when an erasure was begun and not finished.
func (s *Store) FinishErasing(ctx context.Context) error {
	var moment string
	err := s.db.QueryRowContext(ctx, `SELECT value FROM class_store WHERE name = $1`, erasing).Scan(&moment)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return s.fault(err)
	}
	if err := s.d.rewrite(ctx, s, moment); err != nil {
		return err
	}
	return s.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM class_store WHERE name = $1 AND value = $2`, erasing, moment)
		return err
	})
}

// theirs finds who is meant, and what is theirs. Without a roster, a student is whoever the attempts belong to by their places.
func theirs(who string, known []Member, held []Held) Erased {
	var out Erased
	code, _ := exercises.ParseCode(who) // "" when it is none
	codeOf := map[string]string{}       // code → key
	names := map[string]int{}
	for _, m := range known {
		names[strings.ToLower(m.Name)]++
		for _, c := range m.Codes {
			codeOf[c] = m.Key
		}
	}
	for _, m := range known {
		if m.Key == who || (code != "" && slices.Contains(m.Codes, code)) {
			out.Key, out.Name, out.Codes = m.Key, m.Name, slices.Clone(m.Codes)
			if m.Key == who {
				break // a key that looks like another's code
			}
		}
	}
	own := func(h Held) bool {
		if of, ok := codeOf[h.Code]; h.Code != "" && ok {
			return of == out.Key
		}
		if h.Code != "" && (slices.Contains(out.Codes, h.Code) || (out.Key == "" && h.Code == code)) {
			return true
		}
		if out.Key == "" {
			return strings.EqualFold(h.Owner, who)
		}
		c, _ := exercises.ParseCode(h.Owner)
		return strings.EqualFold(h.Owner, out.Key) || (c != "" && slices.Contains(out.Codes, c)) ||
			(strings.EqualFold(h.Owner, out.Name) && names[strings.ToLower(out.Name)] == 1)
	}
	for range 2 { // a file under the key may bring a code under which there are more
		out.Attempts = nil
		var codes []string
		for _, h := range held {
			if own(h) {
				out.Attempts, codes = append(out.Attempts, h.Name), append(codes, h.Code)
			}
		}
		for _, c := range codes {
			if c != "" && !slices.Contains(out.Codes, c) {
				out.Codes = append(out.Codes, c)
			}
		}
	}
	if out.Key == "" && len(out.Attempts) > 0 {
		if out.Key = who; code != "" {
			out.Key = code
		}
	}
	return out
}
