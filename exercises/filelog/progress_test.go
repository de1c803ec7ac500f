package filelog

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
)

func answered(n int) exercises.Answered {
	at := time.Date(2026, 3, 2, 18, 0, n, 0, time.UTC)
	return exercises.Answered{At: at, Sitting: at.Add(-time.Minute), Skill: "steady", Seed: 7, Level: 1, Kind: "steady", Rulebook: "abc", Answer: "next", Right: n%2 == 0, Credit: 0.5}
}

func progress(t *testing.T, path string, n int) {
	t.Helper()
	p, _, aside, err := OpenProgress(path)
	if err != nil || aside != "" {
		t.Fatal(err, aside)
	}
	for i := range n {
		if err := p.Append(answered(i)); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestProgressComesBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "skills.jsonl")
	progress(t, path, 3)
	p, got, _, err := OpenProgress(path)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	if want := []exercises.Answered{answered(0), answered(1), answered(2)}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if _, _, _, err := OpenProgress(path); !errors.Is(err, exercises.ErrLocked) {
		t.Errorf("a second window gets %v, want %v", err, exercises.ErrLocked)
	}
	if read, bad, err := ReadProgress(path); err != nil || bad != 0 || len(read) != 3 {
		t.Errorf("read %d, %d bad, %v", len(read), bad, err)
	}
}

// A last line without its newline was never acknowledged: it is dropped, and nothing is set aside for it.
func TestProgressDropsWhatWasNotAcknowledged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "skills.jsonl")
	progress(t, path, 2)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for cut := len(whole) - 1; cut > bytes.IndexByte(whole, '\n'); cut -= 7 {
		if err := os.WriteFile(path, whole[:cut], 0o600); err != nil {
			t.Fatal(err)
		}
		p, got, aside, err := OpenProgress(path)
		if err != nil || len(got) != 1 || aside != "" {
			t.Fatalf("cut at %d: %d answers, aside %q, %v", cut, len(got), aside, err)
		}
		if err := errors.Join(p.Append(answered(5)), p.Close()); err != nil {
			t.Fatal(err)
		}
		if got, bad, err := ReadProgress(path); err != nil || bad != 0 || len(got) != 2 || got[1] != answered(5) {
			t.Fatalf("cut at %d: after that %d answers, %d bad, %v", cut, len(got), bad, err)
		}
	}
}

// A damaged file is kept as it was under another name, each time another; the lines that hold go on.
func TestDamagedProgressIsSetAside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "skills.jsonl")
	for turn, spoil := range []func([]byte) []byte{
		func(b []byte) []byte { b[5] = 0; return b },
		func(b []byte) []byte { return append([]byte("not a line\n"), b...) },
		func(b []byte) []byte { return append([]byte(strings.Repeat("x", 1<<20)+"\n"), b...) },
		func(b []byte) []byte { return bytes.Replace(b, []byte(`"level":1`), []byte(`"level":0`), 1) },
		func(b []byte) []byte { return bytes.Replace(b, []byte(`"credit":0.5`), []byte(`"credit":7`), 1) },
		func(b []byte) []byte { return bytes.Replace(b, []byte(`"right"`), []byte(`"other":1,"right"`), 1) },
	} {
		if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
			t.Fatal(err)
		}
		progress(t, path, 4)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		data = spoil(data)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		p, got, aside, err := OpenProgress(path)
		if err != nil {
			t.Fatal(err)
		}
		if kept, err := os.ReadFile(aside); err != nil || !bytes.Equal(kept, data) {
			t.Errorf("turn %d: set aside as %q: %d bytes of %d, %v", turn, aside, len(kept), len(data), err)
		}
		if len(got) < 3 || got[len(got)-1] != answered(3) {
			t.Errorf("turn %d: %d answers go on", turn, len(got))
		}
		if err := errors.Join(p.Append(answered(9)), p.Close()); err != nil {
			t.Fatal(err)
		}
		again, bad, err := ReadProgress(path)
		if err != nil || bad != 0 || len(again) != len(got)+1 {
			t.Errorf("turn %d: then %d answers, %d bad, %v", turn, len(again), bad, err)
		}
	}
	if left, err := filepath.Glob(path + ".damaged-*"); err != nil || len(left) != 6 {
		t.Errorf("%d copies, want 6: %v", len(left), err)
	}
}

func FuzzProgress(f *testing.F) {
	raw, err := exercises.EncodeAnswered(answered(1))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(append(raw, '\n'))
	f.Add([]byte("{}\n\n\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		answers, good, bad := readProgress(data)
		again, same, none := readProgress(good)
		if none != 0 || !bytes.Equal(good, same) || len(again) != len(answers) {
			t.Errorf("%d answers and %d bad lines; read again %d and %d", len(answers), bad, len(again), none)
		}
	})
}
