package sqllog

import (
	"context"
	"path/filepath"
	"testing"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
)

func made(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Create(context.Background(), path, Patience)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

type maker struct{ path string }

func (m *maker) Create(t *testing.T, h exercises.Header) exercises.Log {
	l, err := made(t, m.path).Begin(context.Background(), Place{"anna.jsonl", "anna"}, h)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (m *maker) Reopen(t *testing.T) exercises.Log {
	l, err := made(t, m.path).Continue(context.Background(), "anna.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestContract(t *testing.T) {
	logtest.Run(t, &maker{filepath.Join(t.TempDir(), "a class? 100% #1.db")})
}
