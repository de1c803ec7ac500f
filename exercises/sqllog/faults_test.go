package sqllog

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
)

// wants holds an error to a fault with its file, what is wrong, and what to do.
func wants(t *testing.T, err error, want error, path, word string) {
	t.Helper()
	var f *Fault
	if !errors.Is(err, want) || !errors.As(err, &f) || f.Where != path || f.Do == "" || !strings.Contains(f.What, word) {
		t.Errorf("%v (%+v), want %q of %s, and what to do", err, f, word, path)
	}
}

// hold opens the file once more and keeps the write lock until the test ends.
func hold(t *testing.T, path string) {
	t.Helper()
	to, err := address(path, time.Second, false, writing())
	if err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", to)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := errors.Join(tx.Rollback(), db.Close()); err != nil {
			t.Error(err)
		}
	})
}

// filled is a class file with one attempt; it returns the file, the attempt's log and its lines.
func filled(t *testing.T) (*Store, *Log, []exercises.Line) {
	t.Helper()
	return filledAt(t, filepath.Join(t.TempDir(), "class.db"))
}

func filledAt(t *testing.T, where string) (*Store, *Log, []exercises.Line) {
	t.Helper()
	s := made(t, where)
	played := logtest.Session(t, 5)
	l, err := s.Begin(context.Background(), Place{"anna.jsonl", "anna"}, played.State().Header)
	if err != nil {
		t.Fatal(err)
	}
	var lines []exercises.Line
	for i, c := range logtest.Commands() {
		line, err := played.Do(c)
		if err != nil {
			t.Fatal(err)
		}
		if line, err = l.Append(i, line); err != nil {
			t.Fatal(err)
		}
		lines = append(lines, line)
	}
	return s, l, lines
}

func look(at int) exercises.Line {
	return exercises.Line{AtS: at, Command: exercises.Command{Act: exercises.Look}, Events: []exercises.Event{{AtS: at, Fact: exercises.Noticed{Words: "looks about"}}}}
}

// untouched holds the attempt to the lines that were acknowledged.
func untouched(t *testing.T, l *Log, lines []exercises.Line) {
	t.Helper()
	a, err := l.Attempt()
	if err != nil || a.Damage != nil || len(a.Lines) != len(lines) {
		t.Errorf("after it: %d lines, want %d: %v %v", len(a.Lines), len(lines), err, a.Damage)
	}
}

func TestALockedFileSaysSo(t *testing.T) {
	s, l, lines := filled(t)
	path := s.Name()
	impatient, err := Open(context.Background(), path, 20*time.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	defer impatient.Close()
	second, err := impatient.Continue(context.Background(), "anna.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	t.Run("held", func(t *testing.T) {
		hold(t, path)
		_, err = second.Append(len(lines), look(lines[len(lines)-1].AtS))
		wants(t, err, ErrBusy, path, "another program")
		untouched(t, second, lines) // reading goes on
	})
	if _, err := second.Append(len(lines), look(lines[len(lines)-1].AtS)); err != nil {
		t.Errorf("after it was let go: %v", err)
	}
	untouched(t, l, append(lines, look(0)))
}

func TestAReadOnlyFileSaysSo(t *testing.T) {
	s, l, lines := filled(t)
	if _, err := s.db.Exec(`PRAGMA query_only = 1`); err != nil { // root may write everywhere, so the file's own rights would not do
		t.Fatal(err)
	}
	_, err := l.Append(len(lines), look(lines[len(lines)-1].AtS))
	wants(t, err, ErrReadOnly, s.Name(), "not written")
	untouched(t, l, lines)
}

func TestAFullDiskTakesBackWhatWasNotFinished(t *testing.T) {
	s, l, lines := filled(t)
	var pages int
	if err := s.db.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec(fmt.Sprintf(`PRAGMA max_page_count = %d`, pages)); err != nil {
		t.Fatal(err)
	}
	big := look(lines[len(lines)-1].AtS)
	big.Events[0].Fact = exercises.Noticed{Words: strings.Repeat("looks about the room, ", 5000)}
	_, err := l.Append(len(lines), big)
	wants(t, err, ErrFull, s.Name(), "no room")
	untouched(t, l, lines)
}

func TestANewerFileIsLeftAlone(t *testing.T) {
	s, _, _ := filled(t)
	if _, err := s.db.Exec(`UPDATE class_store SET value = '99' WHERE name = 'schema'`); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec(`PRAGMA wal_checkpoint(TRUNCATE)`); err != nil {
		t.Fatal(err)
	}
	before := fileBytes(t, s.Name())
	for _, open := range []func(context.Context, string, time.Duration) (*Store, error){Open, Create} {
		_, err := open(context.Background(), s.Name(), Patience)
		wants(t, err, ErrNewer, s.Name(), "form 99")
	}
	if !bytes.Equal(before, fileBytes(t, s.Name())) {
		t.Error("the newer file was changed")
	}
}

func TestWhatIsNoClassFileIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "letter.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("Dear diary, ", 400)), 0o600); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(dir, "other.db")
	db, err := sql.Open("sqlite", other)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(`CREATE TABLE songs (title TEXT)`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	for path, word := range map[string]string{text: "not a class file", other: "another program", dir: "a folder"} {
		before := len(ifFile(t, path))
		for _, open := range []func(context.Context, string, time.Duration) (*Store, error){Open, Create} {
			_, err := open(context.Background(), path, Patience)
			var f *Fault
			if !errors.As(err, &f) || f.Where != path || !strings.Contains(f.What, word) || f.Do == "" {
				t.Errorf("%s: %v, want %q", path, err, word)
			}
		}
		if len(ifFile(t, path)) != before {
			t.Errorf("%s was changed", path)
		}
	}
	absent := filepath.Join(dir, "absent.db")
	if _, err := Open(context.Background(), absent, Patience); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, err := os.Stat(absent); err == nil {
		t.Error("opening made a file")
	}
	bare := filepath.Join(dir, "bare.db")
	if err := os.WriteFile(bare, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Open(context.Background(), bare, Patience)
	wants(t, err, ErrNotClass, bare, "no class yet")
	made(t, bare) // a file that was killed at its birth is begun again
}

// One byte changed behind this program's back is named with its line.
func TestAChangedRowIsNamed(t *testing.T) { everywhere(t, testChangedRow) }

func testChangedRow(t *testing.T, where string) {
	s, l, lines := filledAt(t, where)
	for _, seq := range []int{len(lines), 4} { // the last line has no successor to hold its sum
		if _, err := s.db.Exec(`UPDATE line SET raw = replace(raw, '"at_s":', '"at_s": ') WHERE seq = $1`, seq); err != nil {
			t.Fatal(err)
		}
		a, err := l.Attempt()
		if err != nil || a.Damage == nil || a.Damage.Line != seq+1 || len(a.Lines) != seq-1 || len(a.Raw) != seq {
			t.Errorf("row %d: %v, %v, %d lines", seq, err, a.Damage, len(a.Lines))
		}
	}
}

func fileBytes(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func ifFile(t *testing.T, path string) []byte {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil
	}
	return fileBytes(t, path)
}

// The library that the driver stands on must be exactly the one that the driver names.
func TestTheDriverHasItsOwnLibrary(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "modernc.org/sqlite").Output()
	if err != nil {
		t.Fatal(err)
	}
	own, theirs := required(t, "../../go.mod"), required(t, filepath.Join(strings.TrimSpace(string(dir)), "go.mod"))
	if own == "" || own != theirs {
		t.Errorf("go.mod has %q, the driver was made with %q", own, theirs)
	}
}

// required is the line of a go.mod that names modernc.org/libc.
func required(t *testing.T, path string) string {
	t.Helper()
	for _, line := range strings.Split(string(fileBytes(t, path)), "\n") {
		if rest, ok := strings.CutPrefix(strings.TrimSpace(line), "modernc.org/libc "); ok {
			version, _, _ := strings.Cut(rest, " ")
			return version
		}
	}
	return ""
}

// A class file that has lost the row with its form is refused, and not taken for an empty one.
func TestAClassFileWithoutItsForm(t *testing.T) {
	path := filepath.Join(t.TempDir(), "class.db")
	s, err := Create(t.Context(), path, time.Second)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.ExecContext(t.Context(), `DELETE FROM class_store`); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err := Open(t.Context(), path, time.Second); !errors.Is(err, ErrNotClass) {
		t.Errorf("opened as %v: %v", s, err)
	}
}
