//go:build unix

package servertest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// A Server is a running server. Whoever comes through the socket in Dir is let in; over the loopback Port a password is asked for.
type Server struct {
	Dir  string
	Port int

	hold io.Closer // the server ends when it is closed, or with this process

	mu sync.Mutex
	n  int // databases made
}

// shared is the server of this process.
var shared struct {
	once   sync.Once
	server *Server
	err    error
}

// errAbsent: there is no server program on this machine.
var errAbsent = errors.New("PostgreSQL is not installed (Debian: postgresql)")

// Start returns the server of this process. Where PostgreSQL is not installed the test is skipped, and fails where CI is set.
func Start(t testing.TB) *Server {
	t.Helper()
	shared.once.Do(func() { shared.server, shared.err = start() })
	switch {
	case errors.Is(shared.err, errAbsent) && os.Getenv("CI") == "":
		t.Skip(shared.err)
	case shared.err != nil:
		t.Fatal(shared.err)
	}
	return shared.server
}

// Database makes an empty database and returns its address.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	s.mu.Lock()
	s.n++
	name := fmt.Sprintf("class%d", s.n)
	s.mu.Unlock()
	s.Do(t, s.Address("postgres"), "CREATE DATABASE "+name)
	return s.Address(name)
}

// Address is that of a database through the socket.
func (s *Server) Address(database string) string {
	return fmt.Sprintf("postgres://%s@/%s?host=%s&port=%d", superuser, database, s.Dir, s.Port)
}

// Loopback is the address of a database over the network, for a user with a password.
func (s *Server) Loopback(user, password, database string) string {
	return fmt.Sprintf("postgres://%s:%s@127.0.0.1:%d/%s", user, password, s.Port, database)
}

// Do does statements in a database, each by itself.
func (s *Server) Do(t testing.TB, address string, statements ...string) {
	t.Helper()
	db, err := sql.Open("pgx", address)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range statements {
		if _, err := db.ExecContext(context.Background(), q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

const superuser = "kilopond"

// programs is the folder of the newest server; Debian keeps it off PATH.
func programs() (string, error) {
	for _, pattern := range []string{"/usr/lib/postgresql/*/bin", "/usr/local/pgsql/bin", "/opt/homebrew/opt/postgresql*/bin"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			return "", err
		}
		slices.SortFunc(found, func(a, b string) int { return len(a) - len(b) }) // 9 before 15; else by name, as Glob has them
		for _, dir := range slices.Backward(found) {
			if _, err := os.Stat(filepath.Join(dir, "initdb")); err == nil {
				return dir, nil
			}
		}
	}
	if path, err := exec.LookPath("initdb"); err == nil {
		return filepath.Dir(path), nil
	}
	return "", errAbsent
}

// owner is the user for the server when root asks: it refuses to run as root.
func owner(dir string) (*syscall.SysProcAttr, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, err
	}
	uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
	gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
	if err := errors.Join(err1, err2, os.Chown(dir, int(uid), int(gid))); err != nil {
		return nil, err
	}
	return &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, nil
}

// waiter starts a program and, when its own input ends, ends it and takes the folder away: so the server never outlives the test process, however
// that ends.
const waiter = `"$@" & p=$!; read -r line; kill -QUIT $p; wait $p; rm -rf "$0"`

func start() (*Server, error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "kp") // short: the path of a socket holds about 100 bytes
	if err != nil {
		return nil, err
	}
	s := &Server{Dir: dir}
	if err := s.serve(bin); err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	return s, nil
}

// serve makes the server's files and starts it.
func (s *Server) serve(bin string) error {
	as, err := owner(s.Dir)
	if err != nil {
		return err
	}
	data := filepath.Join(s.Dir, "data")
	initdb := exec.Command(filepath.Join(bin, "initdb"), "-D", data, "-U", superuser, "--auth-local=trust", "--auth-host=scram-sha-256", "-E", "UTF8", "--locale=C", "-N")
	initdb.SysProcAttr, initdb.Dir = as, s.Dir
	if out, err := initdb.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, out)
	}
	if s.Port, err = freePort(); err != nil {
		return err
	}
	cmd := exec.Command("sh", "-c", waiter, s.Dir, filepath.Join(bin, "postgres"), "-D", data, "-k", s.Dir, "-p", strconv.Itoa(s.Port),
		"-c", "listen_addresses=127.0.0.1", "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off")
	cmd.SysProcAttr, cmd.Dir = as, s.Dir
	said, err := os.Create(filepath.Join(s.Dir, "said"))
	if err != nil {
		return err
	}
	cmd.Stdout, cmd.Stderr = said, said
	if s.hold, err = cmd.StdinPipe(); err != nil {
		return err
	}
	if err := errors.Join(cmd.Start(), said.Close()); err != nil {
		return err
	}
	if err := s.ready(); err != nil {
		words, unread := os.ReadFile(said.Name())
		return errors.Join(fmt.Errorf("the server does not answer: %w\n%s", err, words), unread, s.hold.Close(), cmd.Wait())
	}
	return nil
}

// freePort is a port that nobody listened on a moment ago.
func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	return l.Addr().(*net.TCPAddr).Port, l.Close()
}

// ready waits for the first answer.
func (s *Server) ready() error {
	db, err := sql.Open("pgx", s.Address("postgres"))
	if err != nil {
		return err
	}
	for until := time.Now().Add(60 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		if err = db.Ping(); err == nil || time.Now().After(until) {
			return errors.Join(err, db.Close())
		}
	}
}
