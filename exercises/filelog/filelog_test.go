package filelog

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
)

type maker struct{ path string }

func (m *maker) Create(t *testing.T, h exercises.Header) exercises.Log {
	l, err := Create(m.path, h)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (m *maker) Reopen(t *testing.T) exercises.Log {
	l, _, err := Open(m.path)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestContract(t *testing.T) {
	logtest.Run(t, &maker{filepath.Join(t.TempDir(), "deep", "attempt.jsonl")})
}

func TestOneAttemptOneWindow(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.jsonl")
	h := logtest.Session(t, 1).State().Header
	first, err := Create(path, h)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := Open(path); !errors.Is(err, exercises.ErrLocked) {
		t.Errorf("a second window: %v, want ErrLocked", err)
	}
	if _, err := Create(path, h); !errors.Is(err, os.ErrExist) {
		t.Errorf("the file exists: %v", err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	again, _, err := Open(path)
	if err != nil {
		t.Fatalf("after closing: %v", err)
	}
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestAFolderThatCannotHoldTheFileIsToldAtOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Create(filepath.Join(file, "a.jsonl"), logtest.Session(t, 1).State().Header); err == nil {
		t.Error("an attempt was begun below a file")
	}
	if _, err := os.Stat("/dev/full"); err == nil {
		if _, err := Create("/dev/full/a.jsonl", logtest.Session(t, 1).State().Header); err == nil {
			t.Error("an attempt was begun on a full device")
		}
	}
}

// A write that fails is not acknowledged, and what was acknowledged before stays readable.
func TestAFailedWriteIsNotAcknowledged(t *testing.T) {
	s := logtest.Session(t, 2)
	path := filepath.Join(t.TempDir(), "a.jsonl")
	l, err := Create(path, s.State().Header)
	if err != nil {
		t.Fatal(err)
	}
	line, err := s.Do(exercises.Command{Act: exercises.Greet})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Append(0, line); err != nil {
		t.Fatal(err)
	}
	good := l.f
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if errors.Is(err, os.ErrNotExist) { // where there is no full device, a file that may only be read refuses as well
		full, err = os.Open(path)
	}
	if err != nil {
		t.Fatal(err)
	}
	l.f = full
	if _, err := l.Append(1, line); err == nil {
		t.Error("a write to a full disk was acknowledged")
	}
	if err := errors.Join(full.Close(), good.Close()); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if a := exercises.Read(data); a.Damage != nil || len(a.Lines) != 1 {
		t.Errorf("after a failed write: %v, %d lines, want 1", a.Damage, len(a.Lines))
	}
}

func TestContinueNeverOverwrites(t *testing.T) {
	s := logtest.Session(t, 3)
	path := filepath.Join(t.TempDir(), "a.jsonl")
	l, err := Create(path, s.State().Header)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range logtest.Commands() {
		line, err := s.Do(c)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := l.Append(i, line); err != nil {
			t.Fatal(err)
		}
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	spoilt := bytes.Replace(whole, []byte(`"seconds":60`), []byte(`"seconds":61`), 1)
	if err := os.WriteFile(path, spoilt, 0o600); err != nil {
		t.Fatal(err)
	}
	next, a, err := Continue(path)
	if err != nil {
		t.Fatal(err)
	}
	if next.Path() == path || a.Damage == nil || len(a.Lines) != 4 {
		t.Errorf("goes on in %s with %d lines, %v", next.Path(), len(a.Lines), a.Damage)
	}
	if _, err := next.Append(4, exercises.Line{AtS: a.Lines[3].AtS, Command: exercises.Command{Act: exercises.Look}}); err != nil {
		t.Error(err)
	}
	if err := next.Close(); err != nil {
		t.Fatal(err)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, spoilt) {
		t.Errorf("the damaged file was touched: %v", err)
	}
	if err := os.WriteFile(path, []byte("not an attempt\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Continue(path); err == nil {
		t.Error("a foreign file was gone on with")
	}
}

const childPath = "KILOPOND_KILL_TEST"

// TestMain lets the test binary be the process that is killed: it appends lines and prints how many were acknowledged.
func TestMain(m *testing.M) {
	if path := os.Getenv(childPath); path != "" {
		if err := child(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func child(path string) error {
	l, a, err := Open(path)
	if err != nil {
		return err
	}
	n := len(a.Lines)
	at := 0
	if n > 0 {
		at = a.Lines[n-1].AtS
	}
	for {
		line := exercises.Line{AtS: at, Command: exercises.Command{Act: exercises.Look}, Events: []exercises.Event{{AtS: at, Fact: exercises.Noticed{Words: strings.Repeat("looks about the room, ", n%40)}}}}
		if _, err := l.Append(n, line); err != nil {
			return err
		}
		n++
		fmt.Println(n) // acknowledged
	}
}

// kills is how many times a real process is killed.
const kills = 300

// killsAFile is how many times one attempt is killed and gone on with.
const killsAFile = 15

func TestKilledAtAnyInstantNothingAcknowledgedIsLost(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	dir, path := t.TempDir(), ""
	torn, kept := 0, 0
	for round := range kills {
		if round%killsAFile == 0 {
			path = filepath.Join(dir, fmt.Sprintf("%d.jsonl", round))
			l, err := Create(path, logtest.Session(t, 9).State().Header)
			if err != nil {
				t.Fatal(err)
			}
			if err := l.Close(); err != nil {
				t.Fatal(err)
			}
		}
		acknowledged := kill(t, path, time.Duration(r.IntN(8000))*time.Microsecond)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		a := exercises.Read(data)
		if a.Damage != nil {
			t.Fatalf("round %d: %v", round, a.Damage)
		}
		if len(a.Lines) < acknowledged {
			t.Fatalf("round %d: %d lines are left of %d acknowledged", round, len(a.Lines), acknowledged)
		}
		if len(a.Unfinished) > 0 {
			torn++
		}
		if (round+1)%killsAFile == 0 {
			kept += len(a.Lines)
		}
	}
	t.Logf("%d kills, %d lines kept, %d times a last line was torn", kills, kept, torn)
	if kept < kills {
		t.Errorf("only %d lines in %d rounds: the kills came before anything was done", kept, kills)
	}
}

// kill runs the child for a while, kills it, and returns how many lines it had acknowledged.
func kill(t *testing.T, path string, after time.Duration) int {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childPath+"="+path)
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	last := make(chan int)
	started := make(chan bool, 1)
	go func() {
		n := 0
		for s := bufio.NewScanner(out); s.Scan(); {
			if x, err := strconv.Atoi(s.Text()); err == nil {
				n = x
			}
			select {
			case started <- true:
			default:
			}
		}
		last <- n
	}()
	select {
	case <-started:
	case <-time.After(10 * time.Second):
		t.Fatalf("the child did nothing: %s", complaint.String())
	}
	time.Sleep(after)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	n := <-last
	if err := cmd.Wait(); err == nil {
		t.Fatalf("the child ended by itself: %s", complaint.String())
	}
	return n
}
