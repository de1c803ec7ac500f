//go:build unix

package main

import (
	"path/filepath"
	"strings"
	"testing"

	"kilopond/exercises/sqllog/servertest"
)

// A class on a server is worked with as a class file is: what it gives is the same, and nothing tells the password.
func TestAClassOnAServer(t *testing.T) {
	srv := servertest.Start(t)
	const secret = "hush-hush"
	srv.Do(t, srv.Address("postgres"), "CREATE ROLE dean LOGIN PASSWORD '"+secret+"'", "CREATE DATABASE spring OWNER dean")
	db := srv.Loopback("dean", secret, "spring")
	dir := t.TempDir()
	in, file := filepath.Join(dir, "in"), filepath.Join(dir, "class.db")
	h, lines := playedBy(t, "uneventful", 1)
	writeAttempt(t, filepath.Join(in, "anna.jsonl"), h, lines)
	h, lines = playedBy(t, "tuesday-noon", 3)
	writeAttempt(t, filepath.Join(in, "carl", "1.jsonl"), h, lines)
	var all strings.Builder
	ran := func(want int, args ...string) string {
		t.Helper()
		out, errs, code := kilopond(t, "", args...)
		if code != want {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		all.WriteString(out + errs)
		return out + errs
	}
	ran(0, "class", "import", in, "--db", db)
	ran(0, "class", "import", in, "--db", file)
	if told := ran(0, "class", "import", in, "--db", db); !strings.Contains(told, "already there") || !strings.Contains(told, "2 attempts in postgres://dean@127.0.0.1:") {
		t.Error(told)
	}
	for _, command := range [][]string{{"gradebook", "--format", "csv"}, {"statistics"}, {"roster", "--format", "csv"}} {
		args := append(append([]string{"class"}, command...), "--db")
		if one, other := ran(0, append(args, file)...), ran(0, append(args, db)...); one != other {
			t.Errorf("class %s:\n%s\n%s", command[0], one, other)
		}
	}
	t.Run("marks are noted where the command is given", func(t *testing.T) {
		t.Chdir(dir)
		if told := ran(0, "grade", "--db", db, "--record"); !strings.Contains(told, "noted in grades.jsonl: 2 marks") {
			t.Error(told)
		}
	})
	if told := ran(1, "class", "backup", "--db", db, "--out", filepath.Join(dir, "b.db")); !strings.Contains(told, "not copied into a file") || !strings.Contains(told, "hint: ") {
		t.Error(told)
	}
	ran(0, "class", "export", "--db", db, "--out", filepath.Join(dir, "out"))
	var e eraseResult
	done(t, "class-erase", &e, "class", "erase", "anna", "--yes", "--db", db)
	if e.Key != "anna" || len(e.Attempts) != 1 || !e.Clean || e.Beyond == "" || len(e.Copies) != 1 || e.Copies[0].Kind != "export" {
		t.Errorf("%+v", e)
	}
	if told := ran(0, "class", "erase", "carl", "--yes", "--db", db); !strings.Contains(told, "stand in no row of it") || !strings.Contains(told, "ask who runs it") {
		t.Error(told)
	}
	for _, wrong := range []string{srv.Loopback("dean", "not-"+secret, "spring"), srv.Loopback("dean", secret, "autumn"), "postgres://dean:" + secret + "@127.0.0.1:1/spring",
		"postgres://dean:" + secret + "@[/spring", srv.Loopback("dean", secret, "postgres")} {
		for _, args := range [][]string{{"class", "import", in}, {"class", "roster"}, {"grade"}, {"class", "statistics"}} {
			if told := ran(1, append(args, "--db", wrong)...); !strings.HasPrefix(told, "error: ") || !strings.Contains(told, "\nhint: ") {
				t.Errorf("%v: %s", args, told)
			}
		}
	}
	if strings.Contains(all.String(), secret) {
		t.Errorf("the password was told:\n%s", all.String())
	}
}
