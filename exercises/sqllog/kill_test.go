package sqllog

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
)

// What the process that is killed is told: its class, and the folder of the files to take in.
const (
	childClass = "KILOPOND_CLASS_KILL_TEST"
	childFiles = "KILOPOND_CLASS_KILL_FILES"
)

// TestMain lets the test binary be the process that is killed.
func TestMain(m *testing.M) {
	if where := os.Getenv(childClass); where != "" {
		if err := child(where, os.Getenv(childFiles)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// child takes every file of a folder into the class, and prints the place of each that was acknowledged; after them it appends to one
// attempt until it is killed.
func child(where, folder string) error {
	ctx := context.Background()
	s, err := Create(ctx, where, Patience)
	if err != nil {
		return err
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil {
		return err
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		got, err := imported(ctx, s, Place{filepath.Base(f), "x"}, data, 0)
		if err != nil {
			return err
		}
		fmt.Println(got.Place)
	}
	l, err := s.Continue(ctx, filepath.Base(files[0]))
	if err != nil {
		return err
	}
	for {
		n, _, err := chainEnd(ctx, s.db, l.id)
		if err != nil {
			return err
		}
		if _, err := l.Append(n, look(1000)); errors.Is(err, exercises.ErrConflict) {
			continue // another process was faster
		} else if err != nil {
			return err
		}
		fmt.Println("+")
	}
}

// kills is how many times the importing process is killed, and files how many it has to take in.
const (
	kills = 40
	files = 60
)

func TestKilledInTheMiddleOfAnImportNothingIsHalfDone(t *testing.T) {
	t.Run("file", func(t *testing.T) {
		dir, n := t.TempDir(), 0
		testKilled(t, func() string { n++; return filepath.Join(dir, fmt.Sprintf("%d.db", n)) })
	})
	if onServer != nil {
		t.Run("server", func(t *testing.T) { testKilled(t, func() string { return onServer(t) }) })
	}
}

// testKilled kills the child again and again, every fourth time in a fresh class.
func testKilled(t *testing.T, fresh func() string) {
	r := rand.New(rand.NewPCG(3, 4))
	dir := t.TempDir()
	whole := map[string][]byte{}
	for i := range files {
		name := fmt.Sprintf("%03d.jsonl", i)
		whole[name] = attempt(t, uint64(100+i), len(logtest.Commands()), "")
		if err := os.WriteFile(filepath.Join(dir, name), whole[name], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	where, partly, finished := "", 0, 0
	for round := range kills {
		if round%4 == 0 {
			where = fresh()
		}
		words := 1 + r.IntN(files/3) // in the middle
		if round%4 == 3 {
			words += files // behind it
		}
		acknowledged, appended := kill(t, where, dir, words, time.Duration(r.IntN(2000))*time.Microsecond)
		s := made(t, where)
		held, err := s.Held(context.Background())
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		there := map[string]bool{}
		for _, h := range held {
			data, err := s.Data(context.Background(), h.Name)
			first := h.Name == "000.jsonl"
			if err != nil || !bytes.HasPrefix(data, whole[h.Name]) || (!first && len(data) != len(whole[h.Name])) || exercises.Read(data).Damage != nil {
				t.Fatalf("round %d: %s is not whole: %d bytes of %d, %v", round, h.Name, len(data), len(whole[h.Name]), err)
			}
			if first && h.Lines < len(logtest.Commands())+appended {
				t.Fatalf("round %d: %d lines, and %d were acknowledged", round, h.Lines, appended)
			}
			there[h.Name] = true
		}
		for _, place := range acknowledged {
			if !there[place] {
				t.Fatalf("round %d: %s was acknowledged and is not there", round, place)
			}
		}
		if len(held) < files {
			partly++
		} else {
			finished++
		}
	}
	t.Logf("%d kills, %d in the middle of an import, %d behind it", kills, partly, finished)
	if partly < 3 || finished < 3 {
		t.Errorf("%d kills came in the middle and %d behind it: the test saw one side only", partly, finished)
	}
}

// kill lets the child say a number of words, kills it a moment later, and returns what it had acknowledged by then.
func kill(t *testing.T, where, folder string, words int, moment time.Duration) (places []string, appended int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childClass+"="+where, childFiles+"="+folder)
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	late := time.AfterFunc(60*time.Second, func() { _ = cmd.Process.Kill() }) // a child that says too little
	var all []string
	for s := bufio.NewScanner(out); s.Scan(); {
		if all = append(all, s.Text()); len(all) == words {
			time.Sleep(moment)
			if err := cmd.Process.Kill(); err != nil {
				t.Error(err)
			}
		}
	}
	if !late.Stop() || len(all) < words {
		t.Errorf("the child said %d words of %d: %s", len(all), words, complaint.String())
	}
	if err := cmd.Wait(); err == nil || complaint.Len() > 0 {
		t.Errorf("the child ended by itself: %s", complaint.String())
	}
	for _, word := range all {
		if strings.HasPrefix(word, "+") {
			appended++
		} else {
			places = append(places, word)
		}
	}
	return places, appended
}

// Several processes write one attempt: each line has one place, and whoever was second was told.
func TestSeveralProcessesOneAttempt(t *testing.T) { everywhere(t, testOneAttempt) }

func testOneAttempt(t *testing.T, where string) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.jsonl"), attempt(t, 1, 3, ""), 0o600); err != nil {
		t.Fatal(err)
	}
	type done struct{ n int }
	all := make(chan done)
	const processes = 4
	for range processes {
		go func() {
			_, n := kill(t, where, dir, 50, 0)
			all <- done{n}
		}()
	}
	sum := 0
	for range processes {
		sum += (<-all).n
	}
	l, err := made(t, where).Continue(context.Background(), "a.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	a, err := l.Attempt()
	if err != nil || a.Damage != nil {
		t.Fatal(err, a.Damage)
	}
	if got := len(a.Lines) - 3; got < sum || got > sum+processes || sum < processes {
		t.Errorf("%d lines are there, %d were acknowledged by %d processes", got, sum, processes)
	}
}
