package dialogue

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// begin is a session with a subject of the library.
func begin(t *testing.T, id string, seed scenarios.Seed) *exercises.Session {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(seed)
	b := grader.Default()
	return exercises.Begin(exercises.NewHeader(sc, b.JSON(), b.Hash(), "drill", false), sc)
}

// hold runs a dialogue over typed text and returns what was printed.
func hold(t *testing.T, typed string, o Options) (string, error) {
	t.Helper()
	var out bytes.Buffer
	err := Run(t.Context(), strings.NewReader(typed), &out, o)
	return out.String(), err
}

// golden compares with a stored transcript; UPDATE_GOLDEN=1 rewrites it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, []byte(got), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got == string(want) {
		return
	}
	g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range g {
		if i >= len(w) || g[i] != w[i] {
			t.Fatalf("%s: line %d is\n%s\nwant\n%s", path, i+1, g[i], strings.Join(w[min(i, len(w)):min(i+1, len(w))], ""))
		}
	}
	t.Fatalf("%s: %d lines, want %d", path, len(g), len(w))
}

// narrow fails on a printed line that is wider than a terminal of 80 columns; what was typed is as wide as it was typed.
func narrow(t *testing.T, told string) {
	t.Helper()
	for i, l := range strings.Split(told, "\n") {
		if n := len([]rune(l)); n > 80 && !strings.HasPrefix(l, "> ") {
			t.Errorf("line %d has %d columns: %s", i+1, n, l)
		}
	}
}

// Two conversations as they are printed: the first ten minutes with a well person, and a test in which the person breaks in.
func TestTranscripts(t *testing.T) {
	for name, play := range map[string]struct {
		id   string
		seed scenarios.Seed
		list bool
	}{"first-minutes": {"uneventful", 7, false}, "breaks-in": {"thursday-three", 2, false}, "breaks-in-list": {"thursday-three", 2, true}} {
		t.Run(name, func(t *testing.T) {
			typed, err := os.ReadFile(filepath.Join("testdata", strings.TrimSuffix(name, "-list")+".txt"))
			if err != nil {
				t.Fatal(err)
			}
			told, err := hold(t, string(typed), Options{Session: begin(t, play.id, play.seed), Echo: true, List: play.list})
			if !errors.Is(err, ErrLeft) {
				t.Errorf("ended with %v, want %v", err, ErrLeft)
			}
			narrow(t, told)
			golden(t, name+".golden", told)
		})
	}
}

// What is not understood or cannot be done takes no time and leaves no line.
func TestNothingHappensWithoutACommand(t *testing.T) {
	s := begin(t, "uneventful", 7)
	kept := 0
	typed := "\n   \nhelp\nhelp pressure\nrules\nsheet\ngrete\nstage 90\nstage -1\ncount 0\npressure pump 400 valve 3\nstage 1\nhand in\nwrite hr abc\nstrike 3\n" +
		"\x00\x1b[31mgarbage\xff\xfe\u202e\n" + strings.Repeat("x", 100_000) + "\nhelp " + strings.Repeat("é", 900) + "\n"
	told, err := hold(t, typed, Options{Session: s, Echo: true, Rules: []string{"1  a rule"}, Append: func(exercises.Line) error { kept++; return nil }})
	if !errors.Is(err, ErrLeft) {
		t.Fatal(err)
	}
	if s.State().ClockS != 0 || kept != 0 || len(s.State().Events) != 0 {
		t.Errorf("the clock is at %d s with %d lines and %d events, want nothing", s.State().ClockS, kept, len(s.State().Events))
	}
	for _, want := range []string{"  1  a rule", "did you mean greet?", "Resistance 90 kp: this brake goes from 0 to 7.", "Resistance −1 kp", "No cuff is on the arm.",
		"The pedals are not turning.", "The person is still here.", "Heart rate “abc”: not a number.", "too long to be meant", "Nothing is written yet."} {
		if !strings.Contains(told, strings.TrimSpace(want)) {
			t.Errorf("not told: %s", want)
		}
	}
	if i := strings.IndexAny(told, "\x00\x1b\u202e\ufffd"); i >= 0 {
		t.Errorf("what no keyboard types is printed at byte %d", i)
	}
}

// A line is kept before a word of what happened is printed; when it cannot be kept, nothing is shown as done.
func TestKeptBeforeShown(t *testing.T) {
	var out bytes.Buffer
	full := errors.New("no space left")
	err := Run(t.Context(), strings.NewReader("check brake\ngreet\nlook\n"), &out, Options{Session: begin(t, "uneventful", 7), Append: func(l exercises.Line) error {
		if l.Command.Act == exercises.Greet {
			return full
		}
		return nil
	}})
	if !errors.Is(err, full) {
		t.Errorf("ended with %v, want %v", err, full)
	}
	if told := out.String(); !strings.Contains(told, "You set it to zero.") || strings.Contains(told, "Hello") || strings.Count(told, "> ") != 2 {
		t.Errorf("told:\n%s", told)
	}
}

// Interrupting ends the conversation at a prompt, although the input is still open.
func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	r, w := io.Pipe()
	t.Cleanup(func() { _ = w.Close() })
	ended := make(chan error)
	var out bytes.Buffer
	go func() { ended <- Run(ctx, r, &out, Options{Session: begin(t, "uneventful", 7)}) }()
	cancel()
	if err := <-ended; !errors.Is(err, ErrLeft) {
		t.Errorf("ended with %v, want %v", err, ErrLeft)
	}
	if !strings.Contains(out.String(), "Everything up to the last prompt is kept.") {
		t.Errorf("told:\n%s", out.String())
	}
}

// Whoever comes back reads the sheet, the last words and the clock.
func TestResume(t *testing.T) {
	s := begin(t, "uneventful", 7)
	if _, err := hold(t, "greet\ncount 15\nwrite beats 17\nquit\nlook\n", Options{Session: s}); !errors.Is(err, ErrLeft) {
		t.Fatal(err)
	}
	clock := s.State().ClockS
	told, err := hold(t, "", Options{Session: s, Resume: true})
	if !errors.Is(err, ErrLeft) || s.State().ClockS != clock {
		t.Fatalf("ended with %v at %d s, want %v at %d s", err, s.State().ClockS, ErrLeft, clock)
	}
	for _, want := range []string{"You go on with Oduya Merrin, male, 24, drives a night bus.", "  1  at rest: beats 17", "The last words were: “", "before the test   0:29   standing"} {
		if !strings.Contains(told, want) {
			t.Errorf("not told: %s\n%s", want, told)
		}
	}
}

// Handing in ends the conversation; after that not a word is taken.
func TestHandIn(t *testing.T) {
	s := begin(t, "uneventful", 7)
	told, err := hold(t, "greet\ndecide refuse\nrelease\nwrite no estimate nothing was tested\nhand in\nlook\n", Options{Session: s, Echo: true})
	if err != nil || !s.State().Closed {
		t.Fatalf("ended with %v, closed %v", err, s.State().Closed)
	}
	if !strings.HasSuffix(told, "> hand in\nHanded in.\n") {
		t.Errorf("ends with:\n%s", told[max(0, len(told)-200):])
	}
	narrow(t, told)
}

// The coach speaks only when asked for: before each prompt, and after an act that has a better one.
func TestCoachSpeaks(t *testing.T) {
	var asked []string
	o := Options{Session: begin(t, "uneventful", 7), Coach: &Coach{
		Due: func(*exercises.State) []string { return []string{"due: greet — somebody waits", "or: check brake"} },
		Instead: func(s *exercises.State, c exercises.Command) func() []string {
			before := s.ClockS
			return func() []string {
				asked = append(asked, fmt.Sprintf("%s %d–%d", c.Act, before, s.ClockS))
				if c.Act == exercises.Greet {
					return nil
				}
				return []string{"acceptable was: greet"}
			}
		},
	}}
	told, err := hold(t, "greet\nlook\nstage 1\n", o)
	if !errors.Is(err, ErrLeft) || strings.Count(told, "  due: greet — somebody waits\n  or: check brake\n> ") != 4 {
		t.Errorf("%v; told:\n%s", err, told)
	}
	if strings.Count(told, "\n  acceptable was: greet\n\nbefore the test   0:12") != 1 {
		t.Errorf("after the act, told:\n%s", told)
	}
	if got := strings.Join(asked, ", "); got != "greet 0–10, look 10–12" {
		t.Errorf("asked about %s; what cannot be done is no act", got)
	}
	alone, _ := hold(t, "greet\nlook\n", Options{Session: begin(t, "uneventful", 7)})
	for _, word := range []string{"due", "acceptable", "coach"} {
		if strings.Contains(alone, word) {
			t.Errorf("said when working alone: %s", word)
		}
	}
}

// What a check sets right is said only where something was wrong, in as many words.
func TestChecksSaySetRightOnlyWhatWasWrong(t *testing.T) {
	both := map[string][2]int{}
	for seed := range scenarios.Seed(40) {
		told, _ := hold(t, "check brake\n", Options{Session: begin(t, "uneventful", seed), Echo: true})
		_, shown, _ := strings.Cut(told, "the pendulum shows ")
		value, rest, _ := strings.Cut(shown, " kp.\n")
		said, _, _ := strings.Cut(rest, "\n")
		n := both["brake"]
		switch {
		case value == "0.0" && said == "It stays as it is.":
			n[0]++
		case value != "0.0" && said == "You set it to zero.":
			n[1]++
		default:
			t.Errorf("seed %d: %q, then %q", seed, value, said)
		}
		both["brake"] = n
	}
	if n := both["brake"]; n[0] == 0 || n[1] == 0 {
		t.Errorf("%d at zero, %d off zero: want some of each", n[0], n[1])
	}
	for what, w := range setRight {
		if a, b := len(strings.Fields(w.wrong)), len(strings.Fields(w.right)); a != b {
			t.Errorf("%s: %d words when it was wrong, %d when it was right", what, a, b)
		}
	}
}

// An attempt told again line by line gives what was told while it was played.
func TestReplayTellsTheSame(t *testing.T) {
	s := begin(t, "thursday-three", 2)
	typed, err := os.ReadFile("testdata/breaks-in.txt")
	if err != nil {
		t.Fatal(err)
	}
	var lines []exercises.Line
	told, err := hold(t, string(typed), Options{Session: s, Append: func(l exercises.Line) error { lines = append(lines, l); return nil }})
	if !errors.Is(err, ErrLeft) {
		t.Fatal(err)
	}
	again := Replay(s)
	for i, l := range lines {
		for _, shown := range again.Show(l) {
			at := strings.Index(told, shown+"\n")
			if at < 0 {
				t.Fatalf("line %d is now told as %q", i+1, shown)
			}
			told = told[at+len(shown)+1:]
		}
	}
	if len(lines) < 10 {
		t.Errorf("only %d lines were played", len(lines))
	}
}
