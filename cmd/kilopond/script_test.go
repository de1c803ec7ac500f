package main

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"kilopond": func() { os.Exit(run(scriptClock(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// withClock returns a context in which it is always that time.
func withClock(ctx context.Context, at func() time.Time) context.Context {
	return context.WithValue(ctx, clockKey{}, at)
}

// scriptClock lets a script move the day: `env TEST_TIME=2026-11-30T18:00:00Z`, from which time goes on. Only the program of the tests reads it.
func scriptClock() context.Context {
	ctx := context.Background()
	text := os.Getenv("TEST_TIME")
	if text == "" {
		return ctx
	}
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic(err)
	}
	began := time.Now()
	return withClock(ctx, func() time.Time { return at.Add(time.Since(began)) })
}

// The program as people type it. UPDATE_SCRIPTS=1 rewrites what is compared.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_DATA_HOME", e.WorkDir+"/data")
			e.Setenv("GORACE", "atexit_sleep_ms=0") // else each command waits a second at its end when the race detector is in it
			drill, err := os.ReadFile("testdata/first-drill.txt")
			if err != nil {
				return err
			}
			return os.WriteFile(e.WorkDir+"/first-drill.txt", drill, 0o600)
		},
	})
}
