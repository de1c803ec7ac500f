package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/exercises/filelog"
	"kilopond/scenarios"
)

// noon is a Monday in the window of every pack made here.
var noon = time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC)

// kilopondAt runs a command line at a time.
func kilopondAt(t testing.TB, at time.Time, stdin string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	ctx := withClock(context.Background(), func() time.Time { return at })
	code = run(ctx, args, strings.NewReader(stdin), &out, &errs)
	return out.String(), errs.String(), code
}

// A deskTop is a folder with the packs of a class of two, and where a student's data goes.
type deskTop struct {
	t     testing.TB
	dir   string
	own   string // the instructor's file
	packs []string
	codes []string
}

func packsFor(t testing.TB, more ...string) deskTop {
	t.Helper()
	d := deskTop{t: t, dir: t.TempDir()}
	t.Setenv("XDG_DATA_HOME", filepath.Join(d.dir, "data"))
	roster := filepath.Join(d.dir, "class.csv")
	if err := os.WriteFile(roster, []byte("name,key\nAna Vell,1\nTom Orbin,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(d.dir, "out")
	args := append([]string{"assign", "new", "--cases", "uneventful,tuesday-noon", "--roster", roster, "--until", "2026-11-09", "--out", out}, more...)
	if _, errs, code := kilopondAt(t, noon, "", args...); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	data, err := os.ReadFile(filepath.Join(out, "codes.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		d.codes = append(d.codes, r[3])
		d.packs = append(d.packs, filepath.Join(out, "packs", r[4]))
	}
	d.own = filepath.Join(out, "assignment.json")
	return d
}

// refusal is a whole attempt in four commands.
const refusal = "greet\ndecide refuse\nrelease\nhand in\n"

func (d deskTop) drill(at time.Time, i int, stdin string, more ...string) (string, string, int) {
	d.t.Helper()
	return kilopondAt(d.t, at, stdin, append([]string{"drill", "--pack", d.packs[i], "--as", d.codes[i]}, more...)...)
}

func TestAPackFromFirstToLast(t *testing.T) {
	d := packsFor(t, "--attempts", "2")
	out, errs, code := d.drill(noon, 0, "greet\n")
	if code != 0 || !strings.Contains(errs, "place 1 of 2, attempt 1 of 2") || !strings.Contains(errs, "go on: kilopond drill --pack") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	first, _, _ := strings.Cut(out, "\n")
	out, errs, code = d.drill(noon.Add(time.Hour), 0, "decide refuse\nrelease\nhand in\n", "--out", filepath.Join(d.dir, "mine.jsonl"))
	if code != 0 || !strings.Contains(out, "1 of 2 are done") || !strings.Contains(out, "receipt") || !strings.Contains(out, "report     from Mon 9 Nov 2026") {
		t.Fatalf("exit %d: %s%s", code, out, errs)
	}
	if strings.Contains(out, "points in reach") {
		t.Error("the report is shown while it is held back")
	}
	data, err := os.ReadFile(filepath.Join(d.dir, "mine.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	a := exercises.Read(data)
	if a.Damage != nil || a.Header.Pack == nil || a.Header.Pack.Code != d.codes[0] || a.WallS() != 3600 || !strings.Contains(out, string(exercises.ReceiptOf(a.Last()))) {
		t.Errorf("%v %+v", a.Damage, a.Header.Pack)
	}
	if _, errs, code = d.drill(noon.Add(2*time.Hour), 0, refusal, "--out", d.dir); code != 0 || !strings.Contains(errs, "place 2 of 2") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	name := exercises.Label(d.codes[0]) + "-place-02-try-1.jsonl"
	if _, err := os.Stat(filepath.Join(d.dir, name)); err != nil {
		t.Errorf("no copy in the folder: %v", err)
	}
	_, errs, code = d.drill(noon.Add(3*time.Hour), 0, refusal)
	if code != 1 || !strings.Contains(errs, "all 2 places of this pack are handed in") || !strings.Contains(errs, "--again 1") {
		t.Errorf("exit %d: %s", code, errs)
	}
	out, errs, code = d.drill(noon.Add(3*time.Hour), 0, refusal, "--again", "1")
	if code != 0 || !strings.Contains(errs, "place 1 of 2, attempt 2 of 2") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if again, _, _ := strings.Cut(out, "\n"); again == first {
		t.Errorf("the same person again: %s", again)
	}
	_, errs, code = d.drill(noon.Add(4*time.Hour), 0, refusal, "--again", "1")
	if code != 1 || !strings.Contains(errs, "2 attempts allowed, and made") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

func TestPackRefusals(t *testing.T) {
	d := packsFor(t)
	raw, err := os.ReadFile(d.packs[0])
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) string {
		path := filepath.Join(d.dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	edited := write("edited.json", strings.Replace(string(raw), `"attempts":1`, `"attempts":9`, 1))
	spaced := write("spaced.json", strings.Replace(string(raw), `,"label"`, `, "label"`, 1))
	half := write("half.json", string(raw[:len(raw)/2]))
	empty := write("empty.json", "")
	crlf := write("crlf.json", strings.TrimRight(string(raw), "\n")+"\r\n")
	as := func(pack, code string) []string { return []string{"drill", "--pack", pack, "--as", code} }
	for _, c := range []struct {
		name string
		at   time.Time
		args []string
		code int
		says string
	}{
		{"edited", noon, as(edited, d.codes[0]), 1, "was edited"},
		{"respaced", noon, as(spaced, d.codes[0]), 1, "not a pack as it was made"},
		{"half", noon, as(half, d.codes[0]), 1, "is no pack"},
		{"empty", noon, as(empty, d.codes[0]), 1, "is no pack"},
		{"missing", noon, as(filepath.Join(d.dir, "none"), d.codes[0]), 1, "no such file"},
		{"folder", noon, as(d.dir, d.codes[0]), 1, "a folder"},
		{"the instructor's file", noon, as(d.own, d.codes[0]), 1, "the instructor's own file"},
		{"somebody else's", noon, as(d.packs[1], d.codes[0]), 1, "your code begins with"},
		{"second half wrong", noon, as(d.packs[0], d.codes[0][:5]+"0000"), 1, "the second half of the code is wrong"},
		{"too early", noon.Add(-time.Hour), as(d.packs[0], d.codes[0]), 1, "opens on"},
		{"too late", noon.AddDate(0, 1, 0), as(d.packs[0], d.codes[0]), 1, "closed on"},
		{"no code", noon, []string{"drill", "--pack", d.packs[0]}, 2, "go together"},
		{"no pack", noon, []string{"drill", "--as", d.codes[0]}, 2, "go together"},
		{"no real code", noon, as(d.packs[0], "hello"), 2, "eight signs"},
		{"with a case", noon, append(as(d.packs[0], d.codes[0]), "uneventful"), 2, "are the pack's"},
		{"with a seed", noon, append(as(d.packs[0], d.codes[0]), "--seed", "7"), 2, "are the pack's"},
		{"with the coach", noon, append(as(d.packs[0], d.codes[0]), "--coach"), 2, "worked alone"},
		{"again before the first", noon, append(as(d.packs[0], d.codes[0]), "--again", "1"), 2, "no first attempt"},
		{"again, of no place", noon, append(as(d.packs[0], d.codes[0]), "--again", "9"), 2, "no place of that number"},
	} {
		out, errs, code := kilopondAt(t, c.at, refusal, c.args...)
		if code != c.code || out != "" || !strings.Contains(errs, c.says) || !strings.Contains(errs, "hint: ") {
			t.Errorf("%s: exit %d, want %d with %q:\n%s%s", c.name, code, c.code, c.says, out, errs)
		}
	}
	if _, errs, code := kilopondAt(t, noon, "greet\n", as(crlf, d.codes[0])...); code != 0 {
		t.Errorf("a line end that mail has changed: exit %d: %s", code, errs)
	}
}

func TestAClockPutBackIsNamed(t *testing.T) {
	d := packsFor(t)
	if _, errs, code := d.drill(noon.Add(24*time.Hour), 0, "greet\n"); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	_, errs, code := d.drill(noon.Add(23*time.Hour), 0, "look\n")
	if code != 1 || !strings.Contains(errs, "the clock was put back") {
		t.Errorf("exit %d: %s", code, errs)
	}
	if _, errs, code := d.drill(noon.Add(24*time.Hour-time.Minute), 0, "look\n"); code != 0 {
		t.Errorf("a minute is no fraud: exit %d: %s", code, errs)
	}
}

func TestReportsAreHeldBack(t *testing.T) {
	for _, c := range []struct {
		rule        string
		atOnce, two bool // seen on handing in; seen two weeks later
	}{{"at_once", true, true}, {"after", false, true}, {"held", false, false}} {
		d := packsFor(t, "--report", c.rule)
		file := filepath.Join(d.dir, "mine.jsonl")
		out, errs, code := d.drill(noon, 0, refusal, "--out", file)
		if code != 0 || strings.Contains(out, "points in reach") != c.atOnce {
			t.Errorf("%s: exit %d: %s%s", c.rule, code, out, errs)
		}
		for at, want := range map[time.Time]bool{noon.Add(time.Hour): c.atOnce, noon.AddDate(0, 0, 14): c.two} {
			out, errs, code := kilopondAt(t, at, "", "grade", file)
			if (code == 0) != want || (out != "") != want || !want && !strings.Contains(errs, "held back") {
				t.Errorf("%s at %v: exit %d: %s", c.rule, at, code, errs)
			}
		}
		if _, errs, code := kilopondAt(t, noon, "", "grade", file, "--key", d.own); code != 0 {
			t.Errorf("%s: the instructor's file does not open it: exit %d: %s", c.rule, code, errs)
		}
		other := packsFor(t)
		if _, errs, code := kilopondAt(t, noon, "", "grade", file, "--key", other.own); code != 1 || !strings.Contains(errs, "of another assignment") {
			t.Errorf("%s: another assignment's file: exit %d: %s", c.rule, code, errs)
		}
	}
}

// A whole test worked in a pack is small enough to mail.
func TestAnAttemptCanBeMailed(t *testing.T) {
	drill, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	d := packsFor(t)
	for range 2 {
		if _, errs, code := d.drill(noon, 0, string(drill)); code > 1 {
			t.Fatalf("exit %d: %s", code, errs)
		}
	}
	files, err := filepath.Glob(filepath.Join(d.dir, "data", "kilopond", "packs", "*", "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%v %v", files, err)
	}
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil || info.Size() > 200_000 {
			t.Errorf("%s: %d bytes, %v", f, info.Size(), err)
		}
	}
}

// A pack waits until the short skill that it asks for is shown: more than nine in ten right at level 1.
func TestASkillComesFirst(t *testing.T) {
	d := packsFor(t, "--skill", "pulse")
	_, errs, code := d.drill(noon, 0, refusal)
	if code != 1 || !strings.Contains(errs, "the short skill pulse first") || !strings.Contains(errs, "hint: kilopond skill pulse") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	p, _, _, err := filelog.OpenProgress(filepath.Join(d.dir, "data", "kilopond", "skills.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 12 {
		at := noon.Add(time.Duration(i) * time.Minute)
		if err := p.Append(exercises.Answered{At: at, Sitting: noon, Skill: "pulse", Seed: scenarios.Seed(i), Level: 1, Kind: "count", Answer: "1", Right: true, Credit: 1}); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := d.drill(noon.Add(time.Hour), 0, refusal); code != 0 {
		t.Errorf("exit %d: %s", code, errs)
	}
	if _, errs, code := kilopondAt(t, noon, "", "assign", "new", "--cases", "uneventful", "--roster", filepath.Join(d.dir, "class.csv"), "--skill", "puls", "--out", filepath.Join(d.dir, "x")); code != 2 || !strings.Contains(errs, "did you mean pulse?") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// The time for one person goes by the computer's clock and the student's own factor; going over is named and nothing is cut off.
func TestOverTimeIsNamed(t *testing.T) {
	d := packsFor(t, "--sitting", "30")
	file := filepath.Join(d.dir, "ana.jsonl")
	if _, errs, code := d.drill(noon, 0, "greet\n"); code != 0 || !strings.Contains(errs, "30 minutes, until") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if _, errs, code := d.drill(noon.Add(31*time.Minute), 0, "decide refuse\nrelease\nhand in\n", "--out", file); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	in := filepath.Join(d.dir, "in")
	if err := os.Mkdir(in, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(file, filepath.Join(in, "ana.jsonl")); err != nil {
		t.Fatal(err)
	}
	out, errs, code := kilopondAt(t, noon, "", "grade", in, "--key", d.own)
	if code != 0 || !strings.Contains(out+errs, "took 31 minutes of 30") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	out, _, _ = kilopondAt(t, noon, "", "verify", filepath.Join(in, "ana.jsonl"))
	if !strings.Contains(out, "; receipt ") {
		t.Error(out)
	}
}

// What a time factor lengthens is told to whom it is given, on the pack and at the prompt.
func TestATimeFactorIsTold(t *testing.T) {
	d := packsFor(t, "--sitting", "30")
	more := filepath.Join(d.dir, "more.csv")
	if err := os.WriteFile(more, []byte("name,key,time factor\nMia Sorrel,3,2\nBen Sorrel,4,none\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := kilopondAt(t, noon, "", "assign", "add", d.own, "--roster", more); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, want := range []struct {
		student             int
		pack, limit, prompt string
	}{
		{0, "", "30 minutes", "The clock runs, also while you think."},
		{2, "2 times for one person", "60 minutes", "The clock runs, also while you think, then 2 times slower"},
		{3, "no limit for one person", "", "The clock runs, and stands while you think."},
	} {
		a, err := readAssignment(d.own)
		if err != nil {
			t.Fatal(err)
		}
		code := a.Students[want.student].Code
		pack := filepath.Join(d.dir, "out", "packs", packName(exercises.Label(code)))
		shown, _, _ := kilopondAt(t, noon, "", "assign", "show", pack)
		if strings.Contains(shown, "your time") != (want.pack != "") || !strings.Contains(shown, want.pack) {
			t.Errorf("student %d: the pack says\n%s", want.student, shown)
		}
		out, errs, exit := kilopondAt(t, noon, "", "drill", "--live", "--pack", pack, "--as", code)
		if out = strings.Join(strings.Fields(out), " "); exit != 0 || !strings.Contains(out, want.prompt) {
			t.Errorf("student %d: exit %d: %s%s", want.student, exit, out, errs)
		}
		if strings.Contains(errs, "minutes, until") != (want.limit != "") || !strings.Contains(errs, want.limit) {
			t.Errorf("student %d: %s", want.student, errs)
		}
	}
}

// Whoever works a place again on another computer is named by both receipts; the attempt begun first counts.
func TestAPlaceBegunTwiceIsNamed(t *testing.T) {
	d := packsFor(t)
	in := filepath.Join(d.dir, "in")
	if err := os.Mkdir(in, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := d.drill(noon, 0, refusal, "--out", filepath.Join(in, "first.jsonl")); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	t.Setenv("XDG_DATA_HOME", filepath.Join(d.dir, "elsewhere"))
	if _, errs, code := d.drill(noon.Add(time.Hour), 0, "greet\nlook\ndecide refuse\nrelease\nhand in\n", "--out", filepath.Join(in, "again.jsonl")); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	out, errs, code := kilopondAt(t, noon, "", "grade", in, "--key", d.own, "--format", "json")
	if code != 0 || !strings.Contains(out, `"begun-twice"`) || strings.Count(out, "ask which was given first") != 1 {
		t.Fatalf("exit %d: %s%s", code, out, errs)
	}
	holds(t, "grade-class", out)
	var r classResult
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Attempts {
		if a.Counted != strings.HasSuffix(a.File, "first.jsonl") {
			t.Errorf("%s: counted %v", a.File, a.Counted)
		}
	}
}

// A line of an attempt that was spoilt on the disk: what holds before it goes on beside it, and nothing is overwritten.
func TestADamagedAttemptOfAPackGoesOn(t *testing.T) {
	d := packsFor(t)
	if _, errs, code := d.drill(noon, 0, "greet\nlook\nexplain test\n"); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	files, err := filepath.Glob(filepath.Join(d.dir, "data", "kilopond", "packs", "*", "*.jsonl"))
	if err != nil || len(files) != 1 {
		t.Fatalf("%v %v", files, err)
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	spoilt := bytes.Replace(data, []byte(`"act":"look"`), []byte(`"act":"1ook"`), 1)
	if bytes.Equal(spoilt, data) {
		t.Fatal("nothing to spoil")
	}
	if err := os.WriteFile(files[0], spoilt, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := d.drill(noon.Add(time.Minute), 0, "look\n"); code != 0 || !strings.Contains(errs, "the old file stays as it is") {
		t.Fatalf("exit %d: %s", code, errs)
	}
	out, errs, code := d.drill(noon.Add(2*time.Minute), 0, "decide refuse\nrelease\nhand in\n")
	if code != 0 || !strings.Contains(out, "1 of 2 are done") || strings.Contains(errs, "the old file") {
		t.Fatalf("exit %d: %s%s", code, out, errs)
	}
	if left, err := os.ReadFile(files[0]); err != nil || !bytes.Equal(left, spoilt) {
		t.Errorf("the old file was changed: %v", err)
	}
}
