package grader

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"kilopond/scenarios"
)

var update = flag.Bool("update", false, "look for subjects again and rewrite the scripts of the rules")

// A script is one attempt and what the rules must say of it: who is tested, under which settings, with which habit. Its file is a text
// archive: a note, the attempt, what is wanted.
type script struct {
	note  string
	who   string
	seed  scenarios.Seed
	habit string
	set   []string
	want  []string // "kept RULE", "found RULE at PLACE", "gate"
}

func readScript(t *testing.T, file string) script {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s := script{}
	part := "note"
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		line = strings.TrimSpace(line)
		if name, ok := strings.CutPrefix(line, "-- "); ok {
			part = strings.TrimSuffix(name, " --")
			continue
		}
		switch part {
		case "note":
			s.note = strings.TrimSpace(s.note + " " + line)
			continue
		case "want":
			s.want = append(s.want, line)
			continue
		}
		key, value, ok := strings.Cut(line, ": ")
		if !ok {
			t.Fatalf("%s: line %q: key, colon, value", file, line)
		}
		switch key {
		case "case":
			s.who = value
		case "seed":
			n, err := scenarios.ParseSeed(value)
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			s.seed = n
		case "habit":
			s.habit = value
		case "set":
			s.set = append(s.set, value)
		default:
			t.Fatalf("%s: key %q", file, key)
		}
	}
	return s
}

func (s script) bytes() []byte {
	attempt := fmt.Sprintf("case: %s\nseed: %d\nhabit: %s\n", s.who, s.seed, s.habit)
	for _, set := range s.set {
		attempt += "set: " + set + "\n"
	}
	return []byte(s.note + "\n-- attempt --\n" + attempt + "-- want --\n" + strings.Join(s.want, "\n") + "\n")
}

// run plays the script and says what the rules said, for one rule: its kept opportunities count, and every finding that was charged.
func (s script) run(t testing.TB, rule string) (got []string, slips int) {
	t.Helper()
	book := Default()
	for _, set := range s.set {
		if err := book.Set(set); err != nil {
			t.Fatal(err)
		}
	}
	make, ok := habits()[s.habit]
	if !ok {
		make, ok = helperHabits[s.habit]
	}
	if !ok {
		t.Fatalf("habit %q is not known", s.habit)
	}
	st := play(t, book, mustCase(t, s.who), s.seed, make())
	c := st.course(t)
	for _, r := range Rules() {
		if r.Name != rule {
			continue
		}
		for _, o := range r.Judge(book, c) {
			if o.Credit == 1 {
				got = append(got, "kept "+rule)
				break
			}
		}
	}
	report := Grade(book, c)
	for _, f := range charges(report) {
		got = append(got, fmt.Sprintf("found %s at %s", f.Rule, f.Where))
	}
	if len(report.Gate) > 0 {
		got = append(got, "gate")
	}
	return got, st.slips
}

// TestEveryRuleIsWhole asks of each rule a name, its part, what it asks, why, and sources, points, and a good and a bad script.
func TestEveryRuleIsWhole(t *testing.T) {
	book := Default()
	name := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	seen := map[string]bool{}
	conduct := 0
	for _, r := range Rules() {
		if !name.MatchString(r.Name) || seen[r.Name] {
			t.Errorf("rule %q: a name of its own, small letters and hyphens", r.Name)
		}
		seen[r.Name] = true
		if r.Part != Arithmetic {
			conduct++
		}
		if book.Weights.Of(r.Part) <= 0 {
			t.Errorf("%s: part %q weighs nothing", r.Name, r.Part)
		}
		if n := len(strings.Fields(r.Asks)); n < 4 || n > 40 || !strings.HasSuffix(r.Asks, ".") {
			t.Errorf("%s: asks %q: one sentence", r.Name, r.Asks)
		}
		if n := len(strings.Fields(r.Why)); n < 5 || n > 60 || !strings.HasSuffix(r.Why, ".") {
			t.Errorf("%s: why has %d words", r.Name, n)
		}
		if len(r.Sources) == 0 {
			t.Errorf("%s: no source", r.Name)
		}
		if book.Points[r.Name] <= 0 {
			t.Errorf("%s: no points", r.Name)
		}
		if r.Judge == nil {
			t.Errorf("%s: does not judge", r.Name)
		}
		for _, kind := range []string{"good", "bad"} {
			if _, err := os.Stat(filepath.Join("testdata", r.Name, kind+".txtar")); err != nil && !*update {
				t.Errorf("%s: no %s script", r.Name, kind)
			}
		}
	}
	if conduct < 30 {
		t.Errorf("%d rules of conduct, want 30 or more", conduct)
	}
	for points := range book.Points {
		if !seen[points] {
			t.Errorf("points for %q, which is no rule", points)
		}
	}
	folders, err := os.ReadDir("testdata")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range folders {
		if f.IsDir() && !seen[f.Name()] && f.Name() != "fuzz" && f.Name() != "rapid" {
			t.Errorf("testdata/%s: no rule of that name", f.Name())
		}
	}
}

// TestScripts plays the good and the bad script of each rule. A finding too few and a finding too many both fail.

func TestScripts(t *testing.T) {
	for _, r := range Rules() {
		files, err := filepath.Glob(filepath.Join("testdata", r.Name, "*.txtar"))
		if err != nil || len(files) < 2 {
			t.Fatalf("%s: %d scripts, %v", r.Name, len(files), err)
		}
		for _, file := range files {
			base := strings.TrimSuffix(filepath.Base(file), ".txtar")
			kind := base[strings.LastIndexByte(base, '-')+1:] // a further pair has a word before it: helper-good, helper-bad
			t.Run(r.Name+"/"+base, func(t *testing.T) {
				if *update {
					rewrite(t, r.Name, base, kind, file)
				}
				s := readScript(t, file)
				got, slips := s.run(t, r.Name)
				if s.habit != "none" && slips == 0 {
					t.Errorf("the habit %q never came to act", s.habit)
				}
				if !slices.Equal(got, s.want) {
					t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(s.want, "\n\t"))
				}
				found := slices.ContainsFunc(s.want, func(w string) bool { return strings.HasPrefix(w, "found "+r.Name+" ") })
				switch {
				case kind == "good" && (found || !slices.Contains(s.want, "kept "+r.Name)):
					t.Error("a good script must keep its rule")
				case kind == "bad" && !found:
					t.Error("a bad script must break its rule")
				case kind != "good" && kind != "bad":
					t.Errorf("%s: ends neither in good nor in bad", file)
				}
			})
		}
	}
}

// exhausting are settings under which a test goes on until the person can do no more.
var exhausting = []string{"qualifying_stages=4", "smallest_rise_bpm=20", "ceiling.fraction=1", "stop.ask_from_rpe=20", "window_low_bpm=140"}

// goodAt says where a rule that seldom has an occasion is kept; elsewhere the right way with a well person is enough.
var goodAt = map[string]script{
	"stop-emergency":    {who: string(chest)},
	"emergency-call":    {who: string(chest)},
	"emergency-posture": {who: string(chest)},
	"emergency-watch":   {who: string(chest)},
	"hand-over":         {who: string(chest)},
	"verify-pressure":   {who: string(falls)},
	"pressure-limit":    {who: string(well), set: []string{"stop.above_sbp_mmhg=201"}},
	"rest-repeat":       {who: string(well), set: []string{"screening.postpone_from_sbp_mmhg=118"}},
	"extensions-many":   {who: string(well), set: []string{"max_extensions=1"}},
	"asked-to-stop":     {who: string(tired)},
	"end-sign":          {who: string(well), set: exhausting},
	"sum-no-estimate":   {who: string(chest), set: []string{"one_point=none"}},
}

// badAt says where a rule is broken that no single mistake of the list breaks.
var badAt = map[string]script{
	"asked-to-stop": {who: string(well), set: exhausting, habit: "urged on"},
	"end-sign":      {who: string(well), set: exhausting, habit: "urged on"},
}

// helperHabits are habits of somebody who has a helper.
var helperHabits = map[string]func() habit{
	"a helper is asked again":       func() habit { return asksAboutJumps(helperCounts()) },
	"a helper is never asked again": helperCounts,
}

// furtherAt are the scripts of a rule besides its first pair.
var furtherAt = map[string]script{
	"pulse-accuracy/helper-good": {note: "The helper's slip of the tongue is asked about, and a beat too few costs nothing.", who: string(well), habit: "a helper is asked again", set: []string{"crew=pulse_helper"}},
	"pulse-accuracy/helper-bad":  {note: "A number that no pulse makes is written down as the helper said it.", who: string(well), habit: "a helper is never asked again", set: []string{"crew=pulse_helper"}},
}

// rewrite looks for the first subject on whom the script can be played, and writes what the rules say now. Read the difference before
// it is committed: it is the rules' word against yours.
func rewrite(t *testing.T, rule, base, kind, file string) {
	t.Helper()
	s := script{who: string(well), habit: "none"}
	if at, ok := furtherAt[rule+"/"+base]; ok {
		s = at
	} else if kind == "good" {
		if at, ok := goodAt[rule]; ok {
			s.who, s.set = at.who, at.set
			if at.habit != "" {
				s.habit = at.habit
			}
		}
		s.note = "The rule is kept."
	} else {
		found := false
		if at, ok := badAt[rule]; ok {
			s, found = at, true
		}
		for _, m := range mistakes {
			if !found && m.rules == rule {
				s.who, s.habit, found = string(m.caseID), m.habit, true
				if m.set != "" {
					s.set = []string{m.set}
				}
			}
		}
		s.note = "The rule is broken: " + s.habit + "."
	}
	for s.seed = 0; s.seed < 400; s.seed++ {
		got, slips := s.run(t, rule)
		broke := slices.IndexFunc(got, func(w string) bool { return strings.HasPrefix(w, "found "+rule+" ") })
		if kind == "good" && broke < 0 && slices.Contains(got, "kept "+rule) && (len(got) == 1 || s.habit != "none" && slips > 0 && len(got) <= 4) || kind == "bad" && slips > 0 && broke >= 0 {
			s.want = got
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, s.bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			return
		}
	}
	t.Fatalf("no subject among 400 seeds (habit %s, settings %s)", strconv.Quote(s.habit), s.set)
}
