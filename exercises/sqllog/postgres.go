package sqllog

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"
)

// IsServer says whether a class is kept by a database server: its name is an address and no file.
func IsServer(name string) bool {
	return strings.HasPrefix(name, "postgres://") || strings.HasPrefix(name, "postgresql://")
}

// sessions is how many connections one process may open. Source: [CHOICE-CLASS-SERVER].
const sessions = 8

// server is the dialect of a department's PostgreSQL. Whoever changes the class is alone for the time of a transaction, and whoever adds to an attempt
// is not beside them; the lock is given back with the transaction.
func server() dialect {
	return dialect{
		tables: `SELECT COUNT(*) FILTER (WHERE table_name = 'class_store'), COUNT(*) FROM information_schema.tables
			WHERE table_schema = current_schema()`,
		lock:  `SELECT pg_advisory_xact_lock(5004)`,
		share: `SELECT pg_advisory_xact_lock_shared(5004)`,
		taken: func(err error) bool {
			var e *pgconn.PgError
			return errors.As(err, &e) && e.Code == "23505"
		},
		words:    serverWords,
		ownPlace: "name a database of its own, or a schema of its own with ?search_path=NAME; this one was not touched",
		moment:   `CAST(CAST(pg_current_xact_id() AS xid) AS TEXT)`,
		rewrite: func(ctx context.Context, s *Store, moment string) error {
			// Whoever still sees what was there before makes the server carry the old rows over into the new tables.
			var others int
			err := s.db.QueryRowContext(ctx, `SELECT COUNT(*) FROM pg_stat_activity
				WHERE datname = current_database() AND pid <> pg_backend_pid() AND age(backend_xmin) >= age(CAST($1 AS xid))`, moment).Scan(&others)
			if err != nil {
				return s.fault(err)
			}
			if others > 0 {
				return &Fault{s.name, "another program still reads what was there before, so old rows cannot be written over yet",
					"wait for the other program and give the same command again", ErrBusy}
			}
			_, err = s.db.ExecContext(ctx, `VACUUM (FULL, ANALYZE) line, attempt, student_code, student, class_copy, class_store`)
			return s.fault(err)
		},
	}
}

// connect opens no connection yet; it checks the address and returns it without the password.
func connect(where string, patience time.Duration, reads bool) (*sql.DB, string, error) {
	cfg, err := pgx.ParseConfig(where)
	if err != nil { // what it says may hold the password
		return nil, "", &Fault{"--db", "not an address of a database server that can be read", addressHint, ErrNotClass}
	}
	if cfg.Database == "" {
		return nil, "", &Fault{"--db", "the address names no database", addressHint, ErrNotClass}
	}
	if cfg.ConnectTimeout == 0 {
		cfg.ConnectTimeout = Patience
	}
	cfg.RuntimeParams["client_encoding"] = "UTF8"
	cfg.RuntimeParams["lock_timeout"] = strconv.FormatInt(patience.Milliseconds(), 10)
	if cfg.RuntimeParams["application_name"] == "" {
		cfg.RuntimeParams["application_name"] = "kilopond"
	}
	if reads {
		cfg.RuntimeParams["default_transaction_read_only"] = "on"
	}
	db := stdlib.OpenDB(*cfg)
	db.SetMaxOpenConns(sessions)
	return db, nameOf(cfg.Config), nil
}

const addressHint = "postgres://USER@HOST/DATABASE; the password in the environment variable PGPASSWORD or the file ~/.pgpass, where nobody reads it over your shoulder"

// nameOf is the address as it is told: without password and settings.
func nameOf(cfg pgconn.Config) string {
	u := url.URL{Scheme: "postgres", Path: "/" + cfg.Database, Host: cfg.Host}
	if cfg.User != "" {
		u.User = url.User(cfg.User)
	}
	const usual = 5432
	port := strconv.Itoa(int(cfg.Port))
	var more []string
	if strings.HasPrefix(cfg.Host, "/") { // the folder of a socket
		u.Host = ""
		more = append(more, "host="+cfg.Host)
		if cfg.Port != usual {
			more = append(more, "port="+port)
		}
	} else if cfg.Port != usual || strings.Contains(cfg.Host, ":") {
		u.Host = net.JoinHostPort(cfg.Host, port)
	}
	if schema := cfg.RuntimeParams["search_path"]; schema != "" {
		more = append(more, "search_path="+url.QueryEscape(schema))
	}
	u.RawQuery = strings.Join(more, "&")
	return u.String()
}

// serverWords puts what the server or the network said into words.
func serverWords(err error, name string) *Fault {
	var e *pgconn.PgError
	if errors.As(err, &e) {
		return codeWords(e, name)
	}
	var offered *pgconn.ConnectError
	var line *net.OpError
	switch {
	case errors.As(err, &offered) && errors.As(err, &line):
		return &Fault{name, "no server answers there: " + line.Err.Error(), "see that it runs, and that host and port are right", ErrAway}
	case errors.As(err, &offered) && errors.Is(err, context.DeadlineExceeded):
		return &Fault{name, "no server answers there in time", "see that it runs, and that host and port are right", ErrAway}
	case errors.As(err, &offered):
		return &Fault{name, "no connection could be made: " + offered.Unwrap().Error(), addressHint, ErrAway}
	case errors.As(err, &line), errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, driver.ErrBadConn):
		return brokeOff(name)
	}
	return nil
}

// brokeOff: a commit that was under way may have come through or not.
func brokeOff(name string) *Fault {
	return &Fault{name, "the connection broke off", "give the same command again: what was kept is seen then, and what was not finished was taken back", ErrAway}
}

// codeWords puts an error code into words. Source: [POSTGRESQL-CODES].
func codeWords(e *pgconn.PgError, name string) *Fault {
	switch e.Code {
	case "28000", "28P01":
		return &Fault{name, "the server does not let this user in, or not with this password", addressHint, ErrRefused}
	case "3D000":
		return &Fault{name, "the server has no database of that name", "ask who runs it to make one, in UTF8: createdb NAME", ErrNotClass}
	case "3F000":
		return &Fault{name, "the database has no schema of that name", "ask who runs it to make one: CREATE SCHEMA NAME", ErrNotClass}
	case "42501":
		return &Fault{name, "the server does not let this user do that", "ask who runs it for the right to make tables and to change them; nothing was changed", ErrRefused}
	case "25006":
		return &Fault{name, "may be read but not written", "name the server that may be written to; nothing was changed", ErrReadOnly}
	case "22021", "22P05":
		return &Fault{name, "the database does not take a letter that is in it", "have a database made in UTF8 (createdb -E UTF8 NAME); nothing was changed", ErrNotClass}
	case "53100":
		return &Fault{name, "there is no room left on the server's disk", "ask who runs it to make room, and do it again; what was not finished was taken back", ErrFull}
	case "40001", "40P01", "53300", "55P03":
		return &Fault{name, "others hold it, and did not let go in time", "try again; nothing was changed", ErrBusy}
	case "57P03":
		return &Fault{name, "the server is just starting or stopping", "try again in a minute", ErrAway}
	case "57P01", "57P02":
		return brokeOff(name)
	case "XX001", "XX002":
		return &Fault{name, "damaged: it does not hold together any more", "ask who runs the server to go back to the last backup, and import the attempts again that came after it", ErrDamaged}
	}
	return nil
}
