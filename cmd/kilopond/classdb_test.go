package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"kilopond/exercises/sqllog"
)

// done runs a command that must succeed, as JSON after its schema.
func done(t *testing.T, schema string, into any, args ...string) {
	t.Helper()
	out, errs, code := kilopond(t, "", append(args, "--format", "json")...)
	if code != 0 {
		t.Fatalf("%v: exit %d: %s", args, code, errs)
	}
	holds(t, schema, out)
	if err := json.Unmarshal([]byte(out), into); err != nil {
		t.Fatal(err)
	}
}

// The marks of a class are the same from its files, from the class file, and from what the class file exports.
func TestAClassFileIsItsFiles(t *testing.T) {
	dir := t.TempDir()
	in, db, out := filepath.Join(dir, "in"), filepath.Join(dir, "class.db"), filepath.Join(dir, "out")
	ha, a := playedBy(t, "uneventful", 1)
	hb, b := playedBy(t, "uneventful", 2)
	hc, c := playedBy(t, "tuesday-noon", 3)
	writeAttempt(t, filepath.Join(in, "anna.jsonl"), ha, a)
	writeAttempt(t, filepath.Join(in, "carl", "1.jsonl"), hb, b)
	writeAttempt(t, filepath.Join(in, "carl", "2.jsonl"), hc, c)
	writeAttempt(t, filepath.Join(in, "dora.jsonl"), hc, c[:len(c)-1]) // never handed in
	var took importResult
	done(t, "class-import", &took, "class", "import", in, "--db", db)
	if took.Attempts != 4 || took.count("new") != 4 || took.Files[0].Lines != len(a) {
		t.Fatalf("%+v", took)
	}
	var copied copyResult
	done(t, "class-export", &copied, "class", "export", "--db", db, "--out", out)
	var book []string
	var stats []any
	for _, from := range [][]string{{in}, {"--db", db}, {filepath.Join(out, "attempts")}} {
		text, errs, code := kilopond(t, "", append([]string{"class", "gradebook", "--format", "csv"}, from...)...)
		if code != 0 {
			t.Fatalf("exit %d: %s", code, errs)
		}
		book = append(book, text)
		var s map[string]any
		done(t, "class-statistics", &s, append([]string{"class", "statistics"}, from...)...)
		delete(s, "problems") // they name the files
		stats = append(stats, s)
	}
	if strings.Count(book[0], "\n") != 4 || book[1] != book[0] || book[2] != book[0] {
		t.Errorf("three gradebooks of one class:\n%s", strings.Join(book, "\n"))
	}
	if !reflect.DeepEqual(stats[0], stats[1]) || !reflect.DeepEqual(stats[0], stats[2]) {
		t.Errorf("three statistics of one class differ:\n%v\n%v\n%v", stats[0], stats[1], stats[2])
	}
	// An attempt that has grown.
	writeAttempt(t, filepath.Join(in, "dora.jsonl"), hc, c)
	done(t, "class-import", &took, "class", "import", in, "--db", db)
	if took.count("grown") != 1 || took.count("already there") != 3 || took.Attempts != 4 {
		t.Errorf("%+v", took)
	}
}

// With the instructor's file the class knows the codes, and a student is erased by one of them.
func TestAStudentIsErasedByCode(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data"))
	if err := os.Mkdir(filepath.Join(dir, "in"), 0o700); err != nil {
		t.Fatal(err)
	}
	roster, db := filepath.Join(dir, "class.csv"), filepath.Join(dir, "class.db")
	if err := os.WriteFile(roster, []byte("name,key\nAna Vell,k-1\nTom Orbin,k-2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	packs := filepath.Join(dir, "packs")
	if _, errs, code := kilopond(t, "", "assign", "new", "--cases", "uneventful", "--roster", roster, "--out", packs); code != 0 {
		t.Fatal(errs)
	}
	var r rosterResult
	done(t, "class-roster", &r, "class", "roster", "--db", db, "--key", filepath.Join(packs, "assignment.json"))
	if len(r.Students) != 2 || r.New != 2 || r.Codes != 2 || len(r.Students[0].Codes) != 1 {
		t.Fatalf("%+v", r)
	}
	code := r.Students[0].Codes[0]
	pack := filepath.Join(packs, "packs", packName(code[:4]))
	file := filepath.Join(dir, "in", "one.jsonl")
	if _, errs, exit := kilopond(t, "greet\ndecide refuse\nrelease\nhand in\n", "drill", "--pack", pack, "--as", code, "--out", file); exit != 0 {
		t.Fatal(errs)
	}
	var took importResult
	done(t, "class-import", &took, "class", "import", filepath.Join(dir, "in"), "--db", db)
	var copied copyResult
	done(t, "class-backup", &copied, "class", "backup", "--db", db, "--out", filepath.Join(dir, "b.db"))
	done(t, "class-roster", &r, "class", "roster", "--db", db)
	if r.Students[0].Attempts != 1 || r.Students[1].Attempts != 0 {
		t.Errorf("%+v", r.Students)
	}
	var e eraseResult
	done(t, "class-erase", &e, "class", "erase", strings.ToLower(code), "--yes", "--db", db)
	if e.Key != "k-1" || e.Name != "Ana Vell" || len(e.Attempts) != 1 || !e.Clean || len(e.Copies) != 1 || e.Copies[0].Kind != "backup" {
		t.Errorf("%+v", e)
	}
	for _, path := range sqllog.Files(db) {
		data, err := os.ReadFile(path)
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		for _, word := range []string{"Ana Vell", "k-1", code} {
			if strings.Contains(string(data), word) {
				t.Errorf("%s holds %s", path, word)
			}
		}
	}
}

// A short key stands in others' lines by chance: that is told as it is, and nothing of theirs is touched.
func TestAShortKeyIsNotSaidToBeGone(t *testing.T) {
	dir := t.TempDir()
	db := filepath.Join(dir, "class.db")
	h, lines := playedBy(t, "tuesday-noon", 3)
	writeAttempt(t, filepath.Join(dir, "in", "1.jsonl"), h, lines)
	writeAttempt(t, filepath.Join(dir, "in", "bo.jsonl"), h, lines)
	var took importResult
	done(t, "class-import", &took, "class", "import", filepath.Join(dir, "in"), "--db", db)
	var e eraseResult
	done(t, "class-erase", &e, "class", "erase", "1", "--yes", "--db", db)
	if e.Clean || len(e.Attempts) != 1 || len(e.Others) != 1 || e.Others[0].Word != "1" || len(e.Others[0].Where) != 1 || e.Others[0].Where[0] != "bo.jsonl" {
		t.Errorf("%+v", e)
	}
}
