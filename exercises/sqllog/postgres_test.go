//go:build unix

package sqllog

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
	"kilopond/exercises/sqllog/servertest"
)

const secret = "hush-hush"

// Every way in which a server can say no: in words, with what to do, and never with the password.
func TestAServerThatSaysNo(t *testing.T) {
	srv := servertest.Start(t)
	class, other, later, german := srv.Database(t), srv.Database(t), srv.Database(t), srv.Address("latin1")
	srv.Do(t, class, "CREATE ROLE student LOGIN PASSWORD '"+secret+"'")
	srv.Do(t, other, "CREATE TABLE songs (title TEXT)")
	made(t, later)
	srv.Do(t, later, "UPDATE class_store SET value = '99' WHERE name = 'schema'")
	srv.Do(t, class, "CREATE DATABASE latin1 ENCODING 'LATIN1' LOCALE 'C' TEMPLATE template0")
	u, err := url.Parse(class)
	if err != nil {
		t.Fatal(err)
	}
	inClass := func(user, password string) string { return srv.Loopback(user, password, u.Path[1:]) }
	empty := t.TempDir()
	for _, c := range []struct {
		what, where string
		open        func(ctx context.Context, where string, patience time.Duration) (*Store, error)
		want        error
		word        string
	}{
		{"no socket", "postgres://kilopond:" + secret + "@/class?host=" + empty, Create, ErrAway, "no server answers"},
		{"no listener", "postgres://kilopond:" + secret + "@127.0.0.1:1/class", Create, ErrAway, "no server answers"},
		{"a server without TLS", inClass("student", secret) + "?sslmode=require", Create, ErrAway, "no connection"},
		{"wrong password", inClass("student", "not-"+secret), Create, ErrRefused, "password"},
		{"no such user", inClass("nobody", secret), Create, ErrRefused, "password"},
		{"no right to make tables", inClass("student", secret), Create, ErrRefused, "does not let this user"},
		{"no such database", srv.Loopback("student", secret, "absent"), Create, ErrNotClass, "no database of that name"},
		{"no such schema", class + "&search_path=absent", Create, ErrNotClass, "no schema of that name"},
		{"nothing in it", class, Open, ErrNotClass, "no class yet"},
		{"another program's", other, Create, ErrNotClass, "another program"},
		{"a newer one", later, Create, ErrNewer, "form 99"},
		{"a newer one", later, Open, ErrNewer, "form 99"},
		{"a newer one", later, Read, ErrNewer, "form 99"},
		{"no database named", "postgres://kilopond:" + secret + "@127.0.0.1", Create, ErrNotClass, "names no database"},
		{"no address", "postgres://kilopond:" + secret + "@[::1/class", Create, ErrNotClass, "not an address"},
		{"no number", "postgres://kilopond:" + secret + "@h:port/class", Create, ErrNotClass, "not an address"},
	} {
		s, err := c.open(context.Background(), c.where, Patience)
		if err == nil {
			t.Errorf("%s: opened %s", c.what, s.Name())
			continue
		}
		var f *Fault
		if !errors.Is(err, c.want) || !errors.As(err, &f) || !strings.Contains(f.What, c.word) || f.Do == "" {
			t.Errorf("%s: %v (%+v), want %q and what to do", c.what, err, f, c.word)
			continue
		}
		if told := fmt.Sprint(err, f.Where, f.What, f.Do); strings.Contains(told, secret) || strings.Contains(told, "SQLSTATE") {
			t.Errorf("%s tells too much: %s", c.what, told)
		}
	}
	s := made(t, german)
	entrant := exercises.Entrant{Name: "Łucja Orbin", Key: "k-1", TimeFactor: 1}
	_, err = s.Enrol(context.Background(), []exercises.Entrant{entrant}, nil)
	wants(t, err, ErrNotClass, s.Name(), "does not take a letter")
}

func TestAServersNameHoldsNoPassword(t *testing.T) {
	for address, want := range map[string]string{
		"postgres://ann:" + secret + "@db.example.org/class":                                  "postgres://ann@db.example.org/class",
		"postgresql://ann@db.example.org:5433/class?password=" + secret:                       "postgres://ann@db.example.org:5433/class",
		"postgres://ann@/class?host=/run/postgresql&search_path=spring":                       "postgres://ann@/class?host=/run/postgresql&search_path=spring",
		"postgres://ann:" + secret + "@[2001:db8::1]:5433/class":                              "postgres://ann@[2001:db8::1]:5433/class",
		"postgres://ann:" + secret + "@db.example.org/class?sslmode=verify-full&sslrootcert=": "postgres://ann@db.example.org/class",
	} {
		db, name, err := connect(address, Patience, true)
		if err != nil || name != want {
			t.Errorf("%s, %v; want %s", name, err, want)
			continue
		}
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	}
}

func TestALockedServerSaysSo(t *testing.T) {
	where := onServer(t)
	s, l, lines := filledAt(t, where)
	impatient, err := Open(context.Background(), where, 20*time.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	defer impatient.Close()
	tx, err := s.db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(s.d.lock); err != nil {
		t.Fatal(err)
	}
	second, err := impatient.Continue(context.Background(), "anna.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	_, err = second.Append(len(lines), look(1000))
	wants(t, err, ErrBusy, s.Name(), "did not let go")
	_, err = imported(context.Background(), impatient, Place{"x.jsonl", "x"}, attempt(t, 77, 3, ""), 0)
	wants(t, err, ErrBusy, s.Name(), "did not let go")
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	untouched(t, l, lines)
	if _, err := second.Append(len(lines), look(1000)); err != nil {
		t.Error(err)
	}
}

// A connection that the server breaks off in the middle of an import takes all of it back; the same command again goes through.
func TestABrokenConnectionTakesBackAWholeImport(t *testing.T) {
	where := onServer(t)
	s, l, lines := filledAt(t, where)
	file := attempt(t, 77, 9, "")
	err := s.write(context.Background(), func(tx *sql.Tx) error {
		a, err := Check(file)
		if err != nil {
			return err
		}
		id, err := s.addAttempt(context.Background(), tx, Place{"x.jsonl", "x"}, "x.jsonl", a.Header, a.Raw[0], 0)
		if err != nil {
			return err
		}
		var pid int
		if err := tx.QueryRow(`SELECT pg_backend_pid()`).Scan(&pid); err != nil {
			return err
		}
		if _, err := s.db.Exec(`SELECT pg_terminate_backend($1)`, pid); err != nil {
			return err
		}
		return addRow(context.Background(), tx, id, 1, a.Raw[1])
	})
	wants(t, err, ErrAway, s.Name(), "broke off")
	untouched(t, l, lines)
	if held, err := s.Held(context.Background()); err != nil || len(held) != 1 {
		t.Errorf("%+v, %v", held, err)
	}
	taken(t, s, "x.jsonl", "x", file)
}

func TestReadingAServerWritesNothing(t *testing.T) {
	where := onServer(t)
	filledAt(t, where)
	r, err := Read(context.Background(), where, Patience)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	_, err = imported(context.Background(), r, Place{"x.jsonl", "x"}, attempt(t, 77, 3, ""), 0)
	wants(t, err, ErrReadOnly, r.Name(), "not written")
	var f *Fault
	if err := r.Backup(context.Background(), filepath.Join(t.TempDir(), "b.db"), 0); !errors.As(err, &f) || f.Do == "" {
		t.Errorf("a server was copied into a file: %v", err)
	}
}

// An erasure leaves no byte in the files of the tables. It says that it is not done while somebody still sees what was there before.
func TestErasedFromAServersTables(t *testing.T) {
	srv := servertest.Start(t)
	where := srv.Database(t)
	s := classOfTwo(t, where)
	ctx := context.Background()
	words := []string{"Annabel Quirke", "k-4711", ann, "7k2m-qx4p"}
	srv.Do(t, where, "ANALYZE", "CHECKPOINT")
	if found := inTables(t, srv, s, words); found < len(words) {
		t.Fatalf("only %d before: the test would see nothing", found)
	}
	reader := made(t, where)
	tx, err := reader.db.BeginTx(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	var n int
	if err := tx.QueryRow(`SELECT COUNT(*) FROM line`).Scan(&n); err != nil {
		t.Fatal(err)
	}
	e, err := s.Erase(ctx, "k-4711")
	if !errors.Is(err, ErrBusy) || e.Key != "k-4711" || e.Name != "Annabel Quirke" || len(e.Attempts) != 4 || e.Lines != 40 {
		t.Errorf("%+v, %v", e, err)
	}
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	if err := s.FinishErasing(ctx); err != nil {
		t.Fatal(err)
	}
	if found, err := s.Traces(ctx, words); err != nil || len(found) != 0 {
		t.Errorf("still in the rows: %+v, %v", found, err)
	}
	srv.Do(t, where, "CHECKPOINT") // the files of the tables that were given up are taken away with it
	if found := inTables(t, srv, s, words); found != 0 {
		t.Errorf("still %d times in the files of the tables", found)
	}
	if m, err := s.Members(ctx); err != nil || len(m) != 1 || m[0].Key != "k-4712" {
		t.Errorf("the roster: %+v, %v", m, err)
	}
	if _, err := s.Erase(ctx, "k-4711"); !errors.Is(err, ErrNobody) {
		t.Errorf("erased twice: %v", err)
	}
}

// inTables counts words in the files of the class's own tables and their indexes.
func inTables(t *testing.T, srv *servertest.Server, s *Store, words []string) int {
	t.Helper()
	rows, err := s.db.Query(`SELECT pg_relation_filepath(c.oid) FROM pg_class c WHERE relnamespace = CAST(current_schema() AS regnamespace) AND relkind IN ('r', 'i')`)
	if err != nil {
		t.Fatal(err)
	}
	n, files := 0, 0
	for rows.Next() {
		var path string
		if err := rows.Scan(&path); err != nil {
			t.Fatal(err)
		}
		files++
		data, err := os.ReadFile(filepath.Join(srv.Dir, "data", path))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
		for _, w := range words {
			n += bytes.Count(data, []byte(w))
		}
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil || files < 6 {
		t.Fatalf("%d files of tables: %v", files, err)
	}
	return n
}

// Students write each their own attempt while files are taken in and two programs make the tables at once.
func TestSeveralWritersOnAServer(t *testing.T) {
	where := onServer(t)
	h := logtest.Session(t, 5).State().Header
	var all sync.WaitGroup
	const lines = 40
	for store := range 2 {
		all.Go(func() {
			s := made(t, where)
			var own sync.WaitGroup
			for i := range writers / 2 {
				own.Go(func() {
					l, err := s.Begin(context.Background(), Place{fmt.Sprintf("%d-%d.jsonl", store, i), "x"}, h)
					for n := 0; n < lines && err == nil; n++ {
						_, err = l.Append(n, look(n))
					}
					if err != nil {
						t.Error(err)
					}
				})
			}
			own.Go(func() {
				for i := range 5 {
					taken(t, s, fmt.Sprintf("in-%d-%d.jsonl", store, i), fmt.Sprint("y", store), attempt(t, uint64(100+i), 9, ""))
				}
			})
			own.Wait()
		})
	}
	all.Wait()
	s := made(t, where)
	held, err := s.Held(context.Background())
	if err != nil || len(held) != writers+10 {
		t.Errorf("%d attempts, %v", len(held), err)
	}
	for _, h := range held {
		data, err := s.Data(context.Background(), h.Name)
		if want := map[bool]int{true: 9, false: lines}[strings.HasPrefix(h.Name, "in-")]; err != nil || exercises.Read(data).Damage != nil || h.Lines != want {
			t.Errorf("%s: %d lines, want %d: %v", h.Name, h.Lines, want, err)
		}
	}
}
