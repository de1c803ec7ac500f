package sqllog

import (
	"context"
	"path/filepath"
	"testing"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
)

// everywhere runs a test on a class file and on a server. The names of files stand any letter.
func everywhere(t *testing.T, test func(t *testing.T, where string)) {
	t.Run("file", func(t *testing.T) { test(t, filepath.Join(t.TempDir(), "a class? 100% #1.db")) })
	if onServer != nil {
		t.Run("server", func(t *testing.T) { test(t, onServer(t)) })
	}
}

func made(t testing.TB, where string) *Store {
	t.Helper()
	s, err := Create(context.Background(), where, Patience)
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

type maker struct{ where string }

func (m *maker) Create(t *testing.T, h exercises.Header) exercises.Log {
	l, err := made(t, m.where).Begin(context.Background(), Place{"anna.jsonl", "anna"}, h)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (m *maker) Reopen(t *testing.T) exercises.Log {
	l, err := made(t, m.where).Continue(context.Background(), "anna.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestContract(t *testing.T) {
	everywhere(t, func(t *testing.T, where string) { logtest.Run(t, &maker{where}) })
}
