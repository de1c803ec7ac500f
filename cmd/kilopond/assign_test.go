package main

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
)

func TestAssignHoldsToItsSchemas(t *testing.T) {
	d := packsFor(t, "--late", "deduct=5", "--sitting", "45", "--skill", "pulse,stop", "--coach")
	for _, path := range []string{d.own, d.packs[0]} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, map[bool]string{true: "assignment", false: "pack"}[path == d.own], string(data))
	}
	for _, args := range [][]string{{"assign", "show", d.packs[0]}, {"assign", "show", d.packs[0], "--key", d.own}} {
		out, errs, code := kilopondAt(t, noon, "", append(args, "--format", "json")...)
		if code != 0 {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		holds(t, "assign-show", out)
	}
	for i, args := range [][]string{
		{"assign", "new", "--mix", "graded", "--roster", filepath.Join(d.dir, "class.csv")},
		{"assign", "retest", d.own, "--decision", "stop-emergency", "--student", d.codes[0] + ",2"},
	} {
		to := filepath.Join(d.dir, "more", string(rune('a'+i)))
		out, errs, code := kilopondAt(t, noon, "", append(args, "--out", to, "--format", "json")...)
		if code != 0 {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		holds(t, "assign", out)
		data, err := os.ReadFile(filepath.Join(to, "assignment.json"))
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "assignment", string(data))
	}
}

// A retest brings people who ask for the decision, none of the cases met before while there are others, and names the first assignment.
func TestRetest(t *testing.T) {
	d := packsFor(t)
	first, err := readAssignment(d.own)
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(d.dir, "again")
	_, errs, code := kilopondAt(t, noon, "", "assign", "retest", d.own, "--decision", "screen-decision", "--student", d.codes[0], "--out", out)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	a, err := readAssignment(filepath.Join(out, "assignment.json"))
	if err != nil {
		t.Fatal(err)
	}
	if a.Retest == nil || a.Retest.Of != first.Assignment || a.Retest.Decision != "screen-decision" || len(a.Students) != 1 || a.Students[0].Name != "Ana Vell" ||
		a.Students[0].Code == d.codes[0] || strings.Join(a.Skills, " ") != skillFor("screen") || a.RulebookHash != first.RulebookHash {
		t.Errorf("%+v %v %v", a.Retest, a.Skills, a.Students)
	}
	refused := 0
	for _, x := range a.Students[0].Subjects {
		if x.Tries[0].Case == "tuesday-noon" {
			t.Error("a case that was met comes again")
		}
		if x.Stratum == "not_tested" {
			refused++
		}
	}
	if refused == 0 {
		t.Error("nobody in a retest of screening must be refused")
	}
	for says, args := range map[string][]string{
		"did you mean screen-decision?": {"--decision", "screen-decison", "--student", d.codes[0]},
		"neither a code nor a key":      {"--decision", "stop", "--student", "9"},
		"says what was failed":          {"--student", d.codes[0]},
		"says who":                      {"--decision", "stop"},
		"named twice":                   {"--decision", "stop", "--student", d.codes[0] + ",1"},
	} {
		out, errs, code := kilopondAt(t, noon, "", append([]string{"assign", "retest", d.own, "--out", filepath.Join(d.dir, "none")}, args...)...)
		if code != 2 || out != "" || !strings.Contains(errs, says) {
			t.Errorf("%v: exit %d: %s", args, code, errs)
		}
	}
}

// OneRoster comes as a zip with its files at the root.
func TestRosterFromAZip(t *testing.T) {
	dir := t.TempDir()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range map[string]string{
		"users.csv": "sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName\nu-1,,,true,avell,,Ana,Vell\nu-2,,,true,torbin,,Tom,Orbin\n",
		"roles.csv": "sourcedId,status,dateLastModified,userSourcedId,roleType,role\nr-1,,,u-1,primary,student\nr-2,,,u-2,primary,teacher\n",
	} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "export.zip")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := readRoster(path, "", "", "nothing was made")
	if err != nil || len(r.Entrants) != 1 || r.Entrants[0].Name != "Ana Vell" {
		t.Errorf("%+v %v", r, err)
	}
	other := filepath.Join(dir, "other.zip")
	if err := os.WriteFile(other, []byte("PK\x03\x04 not a zip"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := readRoster(other, "", "", "nothing was made"); err == nil || !strings.Contains(err.Error(), "CSV UTF-8") {
		t.Error(err)
	}
}

// Who joins later gets a pack beside the others, which stay as they are; the same list again adds nobody, and an end of one's own holds.
func TestAssignAdd(t *testing.T) {
	d := packsFor(t)
	before, err := os.ReadFile(d.packs[0])
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(d.dir, "now.csv")
	if err := os.WriteFile(list, []byte("name,key,until\nAna Vell,1,\nTom Orbin,2,\nLena Late,3,2026-11-20\nLars Later,4,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, errs, code := kilopondAt(t, noon, "", "assign", "add", d.own, "--roster", list, "--format", "json")
	if code != 0 || !strings.Contains(errs, "added: 2 packs") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	holds(t, "assign", out)
	raw, err := os.ReadFile(d.own)
	if err != nil {
		t.Fatal(err)
	}
	holds(t, "assignment", string(raw))
	a, err := readAssignment(d.own)
	if err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(d.packs[0])
	if err != nil || !bytes.Equal(before, after) || len(a.Students) != 4 || a.Students[1].Code != d.codes[1] {
		t.Errorf("%d students, the pack of before changed: %v; %v", len(a.Students), !bytes.Equal(before, after), err)
	}
	codes, err := os.ReadFile(filepath.Join(filepath.Dir(d.own), "codes.csv"))
	if err != nil || !strings.Contains(string(codes), "Lena Late,3,,"+a.Students[2].Code) {
		t.Errorf("%s %v", codes, err)
	}
	d.packs = append(d.packs, filepath.Join(filepath.Dir(d.own), "packs", packName(exercises.Label(a.Students[2].Code))))
	d.codes = append(d.codes, a.Students[2].Code)
	later := noon.Add(10 * 24 * time.Hour)
	if _, errs, code := d.drill(later, 0, refusal); code != 1 || !strings.Contains(errs, "closed on") {
		t.Errorf("exit %d: %s", code, errs)
	}
	mine := filepath.Join(d.dir, "lena.jsonl")
	if _, errs, code := d.drill(later, 2, refusal, "--out", mine); code != 0 {
		t.Errorf("exit %d: %s", code, errs)
	}
	if out, errs, code := kilopondAt(t, later, "", "grade", filepath.Dir(mine), "--key", d.own, "--format", "json"); strings.Contains(errs, "(late)") || !strings.Contains(out, `"student": "3"`) {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	for _, c := range []struct {
		at   time.Time
		args []string
		code int
		want string
	}{
		{noon, []string{"--roster", list}, 2, "has a pack of this assignment already"},
		{noon, nil, 2, "--roster says who"},
		{noon, []string{"--roster", list, "--until", "soon"}, 2, "no time"},
	} {
		if _, errs, code := kilopondAt(t, c.at, "", append([]string{"assign", "add", d.own}, c.args...)...); code != c.code || !strings.Contains(errs, c.want) {
			t.Errorf("%v: exit %d: %s", c.args, code, errs)
		}
	}
	fifth := filepath.Join(d.dir, "fifth.csv")
	if err := os.WriteFile(fifth, []byte("name,key,until\nFay,5,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := kilopondAt(t, later, "", "assign", "add", d.own, "--roster", fifth); code != 2 || !strings.Contains(errs, "--until 2026-12-11") {
		t.Errorf("a closed window: exit %d: %s", code, errs)
	}
	if err := os.WriteFile(fifth, []byte("name,key,until\nFay,5,some day\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := kilopondAt(t, noon, "", "assign", "add", d.own, "--roster", fifth); code != 2 || !strings.Contains(errs, "fifth.csv:2: until") {
		t.Errorf("no day: exit %d: %s", code, errs)
	}
}
