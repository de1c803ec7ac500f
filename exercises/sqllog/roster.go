package sqllog

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"kilopond/exercises"
)

// A Member is a student whom the class knows.
type Member struct {
	exercises.Entrant
	Codes []string // one for each assignment, in order
}

// A CodeOwner says whose a code is.
type CodeOwner struct {
	Code       string
	Key        string
	Assignment string // its ID
}

// Enrolled says what a roster changed.
type Enrolled struct {
	New, Changed, Same int
	Codes              int // that are new
}

// Enrol puts a roster into the class, all of it or nothing. A student whom the class has already is taken over as the roster says; one who is not in
// the roster stays. A code that is another student's is an error.
func (s *Store) Enrol(ctx context.Context, entrants []exercises.Entrant, codes []CodeOwner) (Enrolled, error) {
	var out Enrolled
	err := s.write(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, `SELECT COALESCE(MAX(position), 0) FROM student`).Scan(&n); err != nil {
			return err
		}
		for i, e := range entrants {
			had := exercises.Entrant{Key: e.Key}
			err := tx.QueryRowContext(ctx, `SELECT name, study_group, time_factor, extra FROM student WHERE student_key = $1`, e.Key).
				Scan(&had.Name, &had.Group, &had.TimeFactor, &had.Extra)
			had.Line = e.Line
			switch {
			case errors.Is(err, sql.ErrNoRows):
				out.New++
				_, err = tx.ExecContext(ctx, `INSERT INTO student (student_key, name, study_group, time_factor, extra, position) VALUES ($1, $2, $3, $4, $5, $6)`,
					e.Key, e.Name, e.Group, e.TimeFactor, e.Extra, n+i+1)
			case err == nil && had == e:
				out.Same++
			case err == nil:
				out.Changed++
				_, err = tx.ExecContext(ctx, `UPDATE student SET name = $2, study_group = $3, time_factor = $4, extra = $5 WHERE student_key = $1`,
					e.Key, e.Name, e.Group, e.TimeFactor, e.Extra)
			}
			if err != nil {
				return err
			}
		}
		for _, c := range codes {
			var owner string
			err := tx.QueryRowContext(ctx, `SELECT student_key FROM student_code WHERE code = $1`, c.Code).Scan(&owner)
			switch {
			case err == nil && owner != c.Key:
				return fmt.Errorf("code %s is that of %s in the class, and of %s now", c.Code, owner, c.Key)
			case errors.Is(err, sql.ErrNoRows):
				out.Codes++
				_, err = tx.ExecContext(ctx, `INSERT INTO student_code (code, student_key, assignment) VALUES ($1, $2, $3)`, c.Code, c.Key, c.Assignment)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return Enrolled{}, err
	}
	return out, nil
}

// Members are the students of the class in the order in which they came.
func (s *Store) Members(ctx context.Context) ([]Member, error) {
	all, err := members(ctx, s.db)
	return all, s.fault(err)
}

func members(ctx context.Context, q query) ([]Member, error) {
	rows, err := q.QueryContext(ctx, `SELECT student_key, name, study_group, time_factor, extra FROM student ORDER BY position, student_key`)
	if err != nil {
		return nil, err
	}
	var all []Member
	at := map[string]int{}
	for rows.Next() {
		var m Member
		if err := rows.Scan(&m.Key, &m.Name, &m.Group, &m.TimeFactor, &m.Extra); err != nil {
			return nil, errors.Join(err, rows.Close())
		}
		at[m.Key] = len(all)
		all = append(all, m)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return nil, err
	}
	if rows, err = q.QueryContext(ctx, `SELECT student_key, code FROM student_code ORDER BY assignment, code`); err != nil {
		return nil, err
	}
	for rows.Next() {
		var key, code string
		if err := rows.Scan(&key, &code); err != nil {
			return nil, errors.Join(err, rows.Close())
		}
		all[at[key]].Codes = append(all[at[key]].Codes, code)
	}
	return all, errors.Join(rows.Err(), rows.Close())
}
