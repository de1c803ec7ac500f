package sqllog

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/logtest"
	"kilopond/scenarios"
)

// attempt is a file with the first n commands of a stretch, of the seed's subject, in the pack of a code when there is one.
func attempt(t testing.TB, seed uint64, n int, code string) []byte {
	t.Helper()
	played := logtest.Session(t, scenarios.Seed(seed))
	h := played.State().Header
	if code != "" {
		h.Pack = &exercises.PackPlace{Hash: strings.Repeat("a", 64), Assignment: "week-3", Code: code, Subject: 1, Try: 1,
			BegunAt: time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC), Report: exercises.ReportAtOnce}
	}
	raw, err := exercises.EncodeHeader(h)
	if err != nil {
		t.Fatal(err)
	}
	out := append(raw, '\n')
	for _, c := range logtest.Commands()[:n] {
		l, err := played.Do(c)
		if err != nil {
			t.Fatal(err)
		}
		l.Prev = exercises.Sum(raw)
		if raw, err = exercises.EncodeLine(l); err != nil {
			t.Fatal(err)
		}
		out = append(append(out, raw...), '\n')
	}
	return out
}

// imported checks a file and takes it into the class.
func imported(ctx context.Context, s *Store, at Place, data []byte, changedMs int64) (Imported, error) {
	a, err := Check(data)
	if err != nil {
		return Imported{}, err
	}
	return s.Take(ctx, at, a, changedMs)
}

func taken(t testing.TB, s *Store, name, owner string, data []byte) Imported {
	t.Helper()
	got, err := imported(context.Background(), s, Place{name, owner}, data, 1000)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return got
}

func TestImportSaysWhatBecameOfEachFile(t *testing.T) { everywhere(t, testImport) }

func testImport(t *testing.T, where string) {
	s := made(t, where)
	half, whole, other := attempt(t, 5, 4, ""), attempt(t, 5, 9, ""), attempt(t, 6, 9, "")
	for i, c := range []struct {
		name, owner string
		data        []byte
		want        Imported
	}{
		{"anna.jsonl", "anna", half, Imported{Outcome: Added, Place: "anna.jsonl", Lines: 4}},
		{"anna.jsonl", "anna", half, Imported{Outcome: Known, Place: "anna.jsonl"}},
		{"anna.jsonl", "anna", whole, Imported{Outcome: Grown, Place: "anna.jsonl", Lines: 5}},
		{"anna.jsonl", "anna", half, Imported{Outcome: Older, Place: "anna.jsonl"}},
		{"anna (1).jsonl", "anna", whole, Imported{Outcome: Known, Place: "anna.jsonl"}},
		{"anna.jsonl", "anna", other, Imported{Outcome: Added, Place: "anna.2.jsonl", Lines: 9}}, // another week's file of that name
		{"anna.jsonl", "anna", other, Imported{Outcome: Known, Place: "anna.2.jsonl"}},
		{"bo/1.jsonl", "bo", whole, Imported{Outcome: Added, Place: "bo/1.jsonl", Lines: 9, Others: []string{"anna.jsonl"}}},
		{"cy.jsonl", "cy", append(whole[:len(whole):len(whole)], `{"prev":"`...), Imported{Outcome: Added, Place: "cy.jsonl", Lines: 9, CutOff: true, Others: []string{"anna.jsonl", "bo/1.jsonl"}}},
	} {
		if got := taken(t, s, c.name, c.owner, c.data); !reflect.DeepEqual(got, c.want) {
			t.Errorf("file %d, %s: %+v, want %+v", i, c.name, got, c.want)
		}
	}
	for place, want := range map[string][]byte{"anna.jsonl": whole, "anna.2.jsonl": other, "bo/1.jsonl": whole, "cy.jsonl": whole} {
		if got, err := s.Data(context.Background(), place); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s comes back with %d bytes of %d: %v", place, len(got), len(want), err)
		}
	}
	before, err := s.Held(context.Background())
	if err != nil || len(before) != 4 || before[3].Lines != 9 || before[3].ChangedMs != 1000 {
		t.Fatalf("%+v, %v", before, err)
	}
	for _, bad := range [][]byte{nil, []byte("Dear diary,\n"), bytes.Replace(whole, []byte(`"seconds":60`), []byte(`"seconds":61`), 1),
		bytes.Replace(whole, []byte("72"), []byte("\xff2"), 1)} {
		var d *exercises.Damage
		if _, err := imported(context.Background(), s, Place{"bad.jsonl", "bad"}, bad, 0); !errors.As(err, &d) {
			t.Errorf("%.20q was taken in: %v", bad, err)
		}
	}
	if after, err := s.Held(context.Background()); err != nil || !reflect.DeepEqual(before, after) {
		t.Errorf("refused files left something: %+v, %v", after, err)
	}
}

func TestAFullDiskTakesBackAWholeImport(t *testing.T) {
	s, l, lines := filled(t)
	var pages int
	if err := s.db.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec(`PRAGMA max_page_count = ` + "20"); err != nil || pages > 20 {
		t.Fatal(err, pages)
	}
	took := 0
	var err error
	for seed := uint64(10); err == nil && seed < 100; seed++ {
		if _, err = imported(context.Background(), s, Place{string(rune('A'+seed)) + ".jsonl", "x"}, attempt(t, seed, 9, ""), 0); err == nil {
			took++
		}
	}
	wants(t, err, ErrFull, s.Name(), "no room")
	held, err := s.Held(context.Background())
	if err != nil || len(held) != took+1 {
		t.Errorf("%d attempts are there, %d were taken in: %v", len(held), took, err)
	}
	for _, h := range held {
		if data, err := s.Data(context.Background(), h.Name); err != nil || exercises.Read(data).Damage != nil || h.Lines < 9 {
			t.Errorf("%s: half there: %d lines, %v", h.Name, h.Lines, err)
		}
	}
	untouched(t, l, lines)
}

const ann, bob = "7K2M-QX4P", "8M3N-RY5Q"

// classOfTwo has two students with packs, a practice file of one under her name, and one file of nobody's.
func classOfTwo(t *testing.T, path string) *Store {
	t.Helper()
	s := made(t, path)
	n, err := s.Enrol(context.Background(), []exercises.Entrant{
		{Name: "Annabel Quirke", Key: "k-4711", Group: "Tuesday", TimeFactor: 1.25, Line: 2}, {Name: "Bob Farrow", Key: "k-4712", TimeFactor: 1, Extra: 1, Line: 3},
	}, []CodeOwner{{ann, "k-4711", "week-3"}, {bob, "k-4712", "week-3"}})
	if err != nil || n != (Enrolled{New: 2, Codes: 2}) {
		t.Fatal(n, err)
	}
	for i, f := range []struct{ name, owner, code string }{
		{"week3/one.jsonl", "week3", ann}, {"k-4711.jsonl", "k-4711", ""}, {"Annabel Quirke/p.jsonl", "Annabel Quirke", ""}, {"7k2m-qx4p.2.jsonl", "7k2m-qx4p", ""},
		{"week3/two.jsonl", "week3", bob}, {"stranger.jsonl", "stranger", ""},
	} {
		taken(t, s, f.name, f.owner, attempt(t, uint64(20+i), 9, f.code))
	}
	return s
}

func TestEnrolTakesOverAndForgetsNobody(t *testing.T) { everywhere(t, testEnrol) }

func testEnrol(t *testing.T, where string) {
	s := classOfTwo(t, where)
	ctx := context.Background()
	n, err := s.Enrol(ctx, []exercises.Entrant{{Name: "Annabel Quirke", Key: "k-4711", Group: "Tuesday", TimeFactor: 1.25, Line: 2}, {Name: "Cy Dunmore", Key: "k-4713", TimeFactor: 1, Line: 3}}, nil)
	if err != nil || n != (Enrolled{New: 1, Same: 1}) {
		t.Errorf("%+v, %v", n, err)
	}
	if _, err := s.Enrol(ctx, []exercises.Entrant{{Name: "Dee", Key: "k-9", TimeFactor: 1}}, []CodeOwner{{ann, "k-9", "x"}}); err == nil {
		t.Error("a code was given to a second student")
	}
	got, err := s.Members(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, m := range got {
		all = append(all, m.Key+" "+m.Name+" "+strings.Join(m.Codes, ","))
	}
	want := []string{"k-4711 Annabel Quirke " + ann, "k-4712 Bob Farrow " + bob, "k-4713 Cy Dunmore "}
	if !slices.Equal(all, want) || got[0].TimeFactor != 1.25 || got[1].Extra != 1 {
		t.Errorf("%q, want %q", all, want)
	}
}

func TestErasedInEveryByte(t *testing.T) {
	for _, who := range []string{"k-4711", "7k2m qx4p"} {
		path := filepath.Join(t.TempDir(), "class.db")
		s := classOfTwo(t, path)
		ctx := context.Background()
		words := []string{"Annabel Quirke", "k-4711", ann, "7k2m-qx4p"}
		if found, err := s.Traces(context.Background(), words); err != nil || len(found) < len(words) {
			t.Fatalf("before: %v, %v: the test would see nothing", found, err)
		}
		e, err := s.Erase(ctx, who)
		if err != nil {
			t.Fatal(err)
		}
		if e.Key != "k-4711" || e.Name != "Annabel Quirke" || !slices.Equal(e.Codes, []string{ann}) || len(e.Attempts) != 4 || e.Lines != 40 {
			t.Errorf("%s: %+v", who, e)
		}
		if found, err := s.Traces(context.Background(), words); err != nil || len(found) != 0 {
			t.Errorf("%s: still there: %+v, %v", who, found, err)
		}
		for _, p := range []string{path, path + "-wal", path + "-shm"} { // the same, without Traces
			data, err := os.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range words {
				if bytes.Contains(data, []byte(w)) {
					t.Errorf("%s holds %s", p, w)
				}
			}
		}
		held, err := s.Held(ctx)
		if err != nil || len(held) != 2 || held[0].Name != "stranger.jsonl" || held[1].Code != bob {
			t.Errorf("the others: %+v, %v", held, err)
		}
		if m, err := s.Members(ctx); err != nil || len(m) != 1 || m[0].Key != "k-4712" {
			t.Errorf("the roster: %+v, %v", m, err)
		}
		if _, err := s.Erase(ctx, who); !errors.Is(err, ErrNobody) {
			t.Errorf("erased twice: %v", err)
		}
	}
}

// While somebody reads the class, old bytes stay in the write-ahead log: that is said, and done when they have gone.
func TestAnErasureThatCouldNotBeFinished(t *testing.T) {
	path := filepath.Join(t.TempDir(), "class.db")
	classOfTwo(t, path)
	s, err := Open(context.Background(), path, 20*time.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	reader := made(t, path)
	rows, err := reader.db.Query(`SELECT raw FROM line`)
	if err != nil || !rows.Next() {
		t.Fatal(err)
	}
	e, err := s.Erase(context.Background(), "k-4711")
	var f *Fault
	if !errors.As(err, &f) || !errors.Is(err, ErrBusy) || e.Key != "k-4711" {
		t.Errorf("%+v, %v", e, err)
	}
	if err := rows.Close(); err != nil {
		t.Fatal(err)
	}
	if err := s.FinishErasing(context.Background()); err != nil {
		t.Fatal(err)
	}
	if found, err := s.Traces(context.Background(), e.Words()); err != nil || len(found) != 0 {
		t.Errorf("still there: %+v, %v", found, err)
	}
}

func TestBackupIsTheClassAndOverwritesNothing(t *testing.T) {
	dir := t.TempDir()
	s := classOfTwo(t, filepath.Join(dir, "class.db"))
	ctx := context.Background()
	out := filepath.Join(dir, "backup.db")
	if err := s.Backup(ctx, out, 5); err != nil {
		t.Fatal(err)
	}
	before := fileBytes(t, out)
	if err := s.Backup(ctx, out, 6); !errors.Is(err, os.ErrExist) {
		t.Errorf("a backup was overwritten: %v", err)
	}
	if !bytes.Equal(before, fileBytes(t, out)) {
		t.Error("the backup was changed")
	}
	var f *Fault
	if err := s.Backup(ctx, filepath.Join(dir, "absent", "b.db"), 6); !errors.As(err, &f) || f.Do == "" {
		t.Errorf("into a folder that is not there: %v", err)
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*part*")); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	b := made(t, out)
	one, err1 := s.Held(ctx)
	two, err2 := b.Held(ctx)
	if errors.Join(err1, err2) != nil || !reflect.DeepEqual(one, two) {
		t.Errorf("%+v, %+v", one, two)
	}
	for _, h := range one {
		a, err1 := s.Data(ctx, h.Name)
		z, err2 := b.Data(ctx, h.Name)
		if errors.Join(err1, err2) != nil || !bytes.Equal(a, z) {
			t.Errorf("%s differs in the backup", h.Name)
		}
	}
	if c, err := s.Copies(ctx); err != nil || len(c) != 1 || c[0] != (Copy{out, "backup", 5}) {
		t.Errorf("%+v, %v", c, err)
	}
	if _, err := s.Erase(ctx, "k-4711"); err != nil {
		t.Fatal(err)
	}
	if found, err := TracesIn(out, []string{"k-4711"}); err != nil || len(found) != 1 {
		t.Errorf("the backup still holds the student, and that is not seen: %v %v", found, err)
	}
}

// Reading changes no byte, of a backup either, and refuses to write.
func TestReadingLeavesTheFileAsItIs(t *testing.T) {
	dir := t.TempDir()
	s := classOfTwo(t, filepath.Join(dir, "class.db"))
	ctx := context.Background()
	backup := filepath.Join(dir, "b.db")
	if err := s.Backup(ctx, backup, 5); err != nil {
		t.Fatal(err)
	}
	before := fileBytes(t, backup)
	r, err := Read(ctx, backup, Patience)
	if err != nil {
		t.Fatal(err)
	}
	if held, err := r.Held(ctx); err != nil || len(held) != 6 {
		t.Errorf("%+v, %v", held, err)
	}
	_, err = imported(ctx, r, Place{"x.jsonl", "x"}, attempt(t, 77, 3, ""), 0)
	wants(t, err, ErrReadOnly, backup, "not written")
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	if left, err := filepath.Glob(backup + "*"); err != nil || len(left) != 1 || !bytes.Equal(before, fileBytes(t, backup)) {
		t.Errorf("reading left %v, or changed the backup", left)
	}
}
