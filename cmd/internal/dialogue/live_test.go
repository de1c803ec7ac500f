package dialogue

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// A wall is a clock of tests, with somebody who types by it. It goes on only when somebody waits for it.
type wall struct {
	now   time.Duration
	typed []typing
	pipe  *io.PipeWriter
	out   bytes.Buffer
	said  []saying
}

// A typing is a line typed at a moment, or as soon after it as somebody listens.
type typing struct {
	at   time.Duration
	line string
}

// A saying is what was printed at a moment.
type saying struct {
	at   time.Duration
	text string
}

// Write notes when something was printed.
func (w *wall) Write(p []byte) (int, error) {
	w.said = append(w.said, saying{w.now, string(p)})
	return w.out.Write(p)
}

func (w *wall) clock() Clock {
	epoch := time.Unix(0, 0)
	return Clock{
		Now:   func() time.Time { return epoch.Add(w.now) },
		Sleep: func(_ context.Context, d time.Duration) { w.now += d },
		After: func(d time.Duration) <-chan time.Time {
			passed := make(chan time.Time, 1)
			if len(w.typed) == 0 {
				_ = w.pipe.Close()
				return passed
			}
			if next := w.typed[0]; next.at <= w.now+d {
				w.now = max(w.now, next.at)
				w.typed = w.typed[1:]
				go func() { _, _ = io.WriteString(w.pipe, next.line+"\n") }()
				return passed
			}
			w.now += d
			passed <- epoch.Add(w.now)
			return passed
		},
	}
}

// live holds a live conversation and returns the wall and the lines that were kept.
func live(t *testing.T, o Options, speed float64, typed ...typing) (*wall, []exercises.Line) {
	t.Helper()
	r, w := io.Pipe()
	clock := &wall{typed: typed, pipe: w}
	if o.Live == nil {
		o.Live = &Live{}
	}
	o.Live.Clock, o.Live.Speed = clock.clock(), speed
	var lines []exercises.Line
	o.Append = func(l exercises.Line) error { lines = append(lines, l); return nil }
	if err := Run(t.Context(), r, clock, o); err != nil && !errors.Is(err, ErrLeft) {
		t.Fatal(err)
	}
	return clock, lines
}

// atOnce types lines as fast as they are listened to.
func atOnce(text string) (typed []typing) {
	for l := range strings.Lines(text) {
		typed = append(typed, typing{0, strings.TrimRight(l, "\n")})
	}
	return typed
}

// again plays the commands of lines on the same person and fails when anything comes out otherwise.
func again(t *testing.T, s *exercises.Session, lines []exercises.Line) {
	t.Helper()
	if _, err := exercises.Resimulate(s.State().Header, s.Subject(), lines); err != nil {
		t.Error(err)
	}
}

// Who does not think for a second is told the same as without a clock, and it takes the time that it takes.
func TestLiveTellsTheSame(t *testing.T) {
	for name, id := range map[string]string{"first-minutes": "uneventful", "breaks-in": "thursday-three"} {
		for _, list := range []bool{false, true} {
			for _, speed := range []float64{1, 4, 20} {
				seed := map[string]scenarios.Seed{"uneventful": 7, "thursday-three": 2}[id]
				text, err := os.ReadFile("testdata/" + name + ".txt")
				if err != nil {
					t.Fatal(err)
				}
				still, _ := hold(t, string(text), Options{Session: begin(t, id, seed), Echo: true, List: list})
				s := begin(t, id, seed)
				clock, lines := live(t, Options{Session: s, Echo: true, List: list}, speed, atOnce(string(text))...)
				_, told, _ := strings.Cut(clock.out.String(), "before the test")
				_, want, _ := strings.Cut(still, "before the test")
				if told != want {
					t.Errorf("%s, list %v, speed %v: told\n%s\nwant\n%s", name, list, speed, told, want)
				}
				if took, should := clock.now.Seconds(), float64(s.State().ClockS)/speed; took < should-0.01 || took > should+0.01 {
					t.Errorf("%s, speed %v: %d s of the test took %.2f s, want %.2f", name, speed, s.State().ClockS, took, should)
				}
				again(t, s, lines)
			}
		}
	}
}

// A mark is printed when its beat is felt, and a sound when the needle passes its mark.
func TestBeatsAppearAsTheyHappen(t *testing.T) {
	const speed = 2
	s := begin(t, "uneventful", 7)
	clock, lines := live(t, Options{Session: s}, speed, atOnce("cuff adult\ncount 15\npressure pump 150 valve 3\n")...)
	felt := lines[1].Events[0].Fact.(exercises.PulseFelt)
	fell := lines[2].Events[0].Fact.(exercises.CuffFell)
	var beats, marks []time.Duration
	for _, x := range clock.said {
		for range strings.Count(x.text, "|") - strings.Count(x.text, " | ") { // not those of help
			beats = append(beats, x.at)
		}
		if x.at > time.Duration(felt.FromS+felt.Seconds)*time.Second/speed {
			for _, word := range heardAs {
				if strings.HasSuffix(strings.TrimSpace(x.text), " "+word) && word != "tap" {
					marks = append(marks, x.at)
				}
			}
			if strings.HasSuffix(strings.TrimSpace(x.text), " tap") && !strings.HasSuffix(strings.TrimSpace(x.text), "faint tap") {
				marks = append(marks, x.at)
			}
		}
	}
	if len(beats) != len(felt.Tenths) || len(beats) < 10 {
		t.Fatalf("%d marks printed by themselves, want %d", len(beats), len(felt.Tenths))
	}
	for i, tenth := range felt.Tenths {
		want := time.Duration((float64(felt.FromS) + float64(tenth)/10) / speed * float64(time.Second))
		if d := beats[i] - want; d.Abs() > time.Millisecond {
			t.Errorf("beat %d is shown at %v, want %v", i, beats[i], want)
		}
	}
	slices.Sort(marks)
	if len(marks) < len(fell.Heard)*9/10 {
		t.Fatalf("%d gauge marks printed by themselves, want %d", len(marks), len(fell.Heard))
	}
	// 2 mmHg at 3 mmHg/s is two thirds of a second; a second's rounding of the whole fall is spread over it.
	for i := 1; i < len(marks); i++ {
		if gap := (marks[i] - marks[i-1]).Seconds() * speed; gap < 0.6 || gap > 0.75 {
			t.Errorf("%.2f s between two marks of the gauge, want 0.67", gap)
		}
	}
	again(t, s, lines)
}

// Thinking becomes waits of whole seconds, and a typed line is done at the second when it was typed.
func TestThinkingCounts(t *testing.T) {
	s := begin(t, "uneventful", 7)
	clock, lines := live(t, Options{Session: s}, 4,
		typing{3 * time.Second, "greet"},                  // 12 s of the test
		typing{3*time.Second + 2500*time.Millisecond, ""}, // done at 5.5 s: nothing thought
		typing{8 * time.Second, ""},                       // 10 s more
		typing{8 * time.Second, "grete"},                  // not understood: costs nothing
		typing{8100 * time.Millisecond, "look"},           // less than half a second
		typing{20 * time.Minute, "look"})                  // longer than one wait can be
	var got []string
	for _, l := range lines {
		got = append(got, strings.TrimSpace(fmt.Sprintf("%s %d", l.Command.Act, l.Command.Seconds)))
	}
	if want := "wait 12, greet 0, wait 10, look 0"; !strings.HasPrefix(strings.Join(got, ", "), want) {
		t.Errorf("kept %v, want %s", got, want)
	}
	if at, want := float64(s.State().ClockS), clock.now.Seconds()*4; at < want-1 || at > want+1 {
		t.Errorf("%.0f s of the test in %.1f s of life, want %.0f", at, clock.now.Seconds(), want)
	}
	for _, l := range lines {
		if l.Command.Act == exercises.Wait && l.Command.Seconds > 600 {
			t.Errorf("one wait of %d s", l.Command.Seconds)
		}
	}
	if told := clock.out.String(); !strings.Contains(told, "> \nbefore the test   0:32   standing\n> ") {
		t.Errorf("Enter alone does not show the time:\n%s", told)
	}
	again(t, s, lines)
}

// However long somebody thinks, and about what, the file plays again, no second is lost, and each line is shown before the next is typed.
func TestAnyThinkingPlaysAgain(t *testing.T) {
	for _, play := range []struct {
		file, id string
		seed     scenarios.Seed
	}{{"first-minutes", "uneventful", 7}, {"breaks-in", "thursday-three", 2}, {"breaks-in", "friday-nine", 4}} {
		text, err := os.ReadFile("testdata/" + play.file + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		for seed := range uint64(4) {
			r := rand.New(rand.NewPCG(seed, 0))
			typed, at := atOnce(string(text)), time.Duration(0)
			for i := range typed {
				at += time.Duration(r.ExpFloat64() * float64(20*time.Second))
				typed[i].at = at
			}
			speed := 1 + 19*r.Float64()
			s := begin(t, play.id, play.seed)
			clock, lines := live(t, Options{Session: s}, speed, typed...)
			again(t, s, lines)
			// Half a second is rounded at each typed line.
			if gap := clock.now.Seconds()*speed - float64(s.State().ClockS); gap > float64(len(typed))/2+1 || gap < -float64(len(typed))/2-1 {
				t.Errorf("%s, thinking %d: %d s of the test in %.0f s of life at %.1f", play.id, seed, s.State().ClockS, clock.now.Seconds(), speed)
			}
		}
	}
}

// BenchmarkUntilSomething looks ahead from the end of a test, as at each prompt of a live drill.
func BenchmarkUntilSomething(b *testing.B) {
	c, err := scenarios.Load("uneventful")
	if err != nil {
		b.Fatal(err)
	}
	book := grader.Default()
	whole, err := grader.Play(book, c.Draw(7))
	if err != nil {
		b.Fatal(err)
	}
	d := &dialogue{o: Options{Session: exercises.Begin(whole.Session.State().Header, whole.Session.Subject())}}
	for _, l := range whole.Lines {
		if l.Command.Act == exercises.Release {
			break
		}
		if _, err := d.o.Session.Do(l.Command); err != nil {
			b.Fatal(err)
		}
		d.done = append(d.done, l.Command)
	}
	for b.Loop() {
		if d.untilSomething() == 0 {
			b.Fatal("nothing lies ahead")
		}
	}
}

// On a terminal the clock above the prompt goes on while one thinks, and below the typed line while something is done; the file is the same.
func TestClockInSight(t *testing.T) {
	typed := []typing{{3500 * time.Millisecond, "greet"}, {3500 * time.Millisecond, "count 10"}, {30 * time.Second, "quit"}}
	still, running := begin(t, "uneventful", 7), begin(t, "uneventful", 7)
	plain, want := live(t, Options{Session: still}, 1, typed...)
	clock, got := live(t, Options{Session: running, Live: &Live{Running: true}}, 1, typed...)
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("kept %v, want %v", got, want)
	}
	told := clock.out.String()
	for s := range 4 {
		if above := fmt.Sprintf("\x1b7\x1b[1A\rbefore the test   0:0%d   standing\x1b[K\x1b8", s); strings.Count(told, above) != 1 {
			t.Errorf("above the prompt at %d s, the clock is shown %d times", s, strings.Count(told, above))
		}
	}
	if n := strings.Count(told, "\rbefore the test   0:08   standing\x1b[K\rbefore"); n != 1 {
		t.Errorf("the clock is shown %d times while the person comes in at 0:08", n)
	}
	_, beats, _ := strings.Cut(told, "  0:16 ")
	beats, _, _ = strings.Cut(beats, "\n")
	if strings.Count(beats, "|") < 5 || strings.Contains(beats, "\x1b") {
		t.Errorf("a row of beats is %q", beats)
	}
	if strings.Contains(plain.out.String(), "\x1b") {
		t.Error("the cursor is moved where it cannot be")
	}
}

// When the person has left, the sheet may take as long as it takes.
func TestThinkingAboutTheSheetIsFree(t *testing.T) {
	s := begin(t, "uneventful", 7)
	_, lines := live(t, Options{Session: s}, 1, append(atOnce("greet\ndecide refuse\nrelease\n"), typing{time.Hour, "write reason none"}, typing{2 * time.Hour, "hand in"})...)
	if n := len(lines); n != 5 || lines[4].Command.Act != exercises.HandIn || !s.State().Closed {
		t.Errorf("%d lines, closed %v", n, s.State().Closed)
	}
	if s.State().ClockS > 20 {
		t.Errorf("the clock stands at %d s", s.State().ClockS)
	}
	again(t, s, lines)
}

// A sign that nobody could miss is printed at its second, while the student thinks, and the thought goes on after it.
func TestSignsInterruptThinking(t *testing.T) {
	text, err := os.ReadFile("testdata/breaks-in.txt")
	if err != nil {
		t.Fatal(err)
	}
	lead, _, _ := strings.Cut(string(text), "stage")
	typed := atOnce(lead + "stage 0.5\nwait 170\nstage 1.5\nwait 170\nstage 2\n")
	s := begin(t, "thursday-three", 2)
	clock, lines := live(t, Options{Session: s}, 1, append(typed, typing{30 * time.Minute, "stop"})...)
	said := 0
	for i, l := range lines {
		for _, e := range l.Events {
			f, ok := e.Fact.(exercises.Said)
			if !ok || !f.Unasked || l.Command.Act != exercises.Wait || i == 0 {
				continue
			}
			said++
			shown := false
			for _, x := range clock.said {
				if firstWord, _, _ := strings.Cut(f.Words, " "); strings.Contains(x.text, "“"+firstWord) && (x.at-time.Duration(e.AtS)*time.Second).Abs() < 10*time.Millisecond {
					shown = true
				}
			}
			if !shown {
				t.Errorf("said at %d s and not shown then: %s", e.AtS, f.Words)
			}
			if l.AtS != e.AtS {
				t.Errorf("the thought went on to %d s over what was said at %d s", l.AtS, e.AtS)
			}
		}
	}
	if said == 0 {
		t.Errorf("nothing was said while thinking:\n%s", clock.out.String())
	}
	for i, l := range lines[1:] {
		if gone := l.AtS - lines[i].AtS; l.Command.Act == exercises.Wait && gone != l.Command.Seconds && l.Command.Seconds != 170 {
			t.Errorf("a thought of %d s is kept as a wait of %d s", gone, l.Command.Seconds)
		}
	}
	again(t, s, lines)
}

// Who leaves in the middle of a count has its beats on the screen and its line in the file; the thought before is kept too. Whoever comes back
// finds the clock where it stood, however long they were away.
func TestLeavingLive(t *testing.T) {
	ctx, leave := context.WithCancel(t.Context())
	r, w := io.Pipe()
	t.Cleanup(func() { _ = w.Close() })
	clock := &wall{pipe: w, typed: []typing{{0, "greet"}, {15 * time.Second, "count 15"}, {time.Hour, ""}}}
	c := clock.clock()
	c.Sleep = func(_ context.Context, d time.Duration) {
		if clock.now > 20*time.Second {
			leave()
			return
		}
		clock.now += d
	}
	s := begin(t, "uneventful", 7)
	var lines []exercises.Line
	err := Run(ctx, r, clock, Options{Session: s, Live: &Live{Clock: c, Speed: 1}, Append: func(l exercises.Line) error { lines = append(lines, l); return nil }})
	if !errors.Is(err, ErrLeft) || len(lines) != 3 || lines[1].Command.Seconds != 5 {
		t.Fatalf("%v, %d lines", err, len(lines))
	}
	felt := lines[2].Events[0].Fact.(exercises.PulseFelt)
	if n := strings.Count(clock.out.String(), "|"); n != len(felt.Tenths) {
		t.Errorf("%d beats on the screen, want %d", n, len(felt.Tenths))
	}
	at := s.State().ClockS
	again(t, s, lines)

	var before []exercises.Command
	for _, l := range lines {
		before = append(before, l.Command)
	}
	back, more := live(t, Options{Session: s, Resume: true, Live: &Live{Before: before}}, 1, typing{7 * time.Second, "look"})
	if s.State().ClockS != at+7+2 || len(more) != 2 {
		t.Errorf("the clock stands at %d s after %d, want 9 more", s.State().ClockS, at)
	}
	if !strings.Contains(back.out.String(), "The time that you were away does not count.") {
		t.Errorf("told:\n%s", back.out.String())
	}
	again(t, s, append(lines, more...))
}

// Somebody with more time thinks longer for the same seconds of the test; what is done takes what it takes.
func TestMoreTimeIsTimeToThink(t *testing.T) {
	for _, x := range []struct {
		ease       float64
		says       string
		waits, gap string
	}{
		{0, "also while you think.", "wait 12", "wait 20"},
		{2, "also while you think, then 2 times slower: that is your own time.", "wait 6", "wait 10"},
		{math.Inf(1), "and stands while you think.", "", ""},
	} {
		s := begin(t, "uneventful", 7)
		clock, lines := live(t, Options{Session: s, Live: &Live{Ease: x.ease}}, 4,
			typing{3 * time.Second, "greet"}, typing{3*time.Second + 2500*time.Millisecond, ""}, typing{10500 * time.Millisecond, "look"})
		var got []string
		for _, l := range lines {
			got = append(got, strings.TrimSpace(fmt.Sprintf("%s %d", l.Command.Act, l.Command.Seconds)))
		}
		var want []string
		for _, w := range []string{x.waits, "greet 0", x.gap, "look 0"} {
			if w != "" {
				want = append(want, w)
			}
		}
		if a, b := strings.Join(got, ", "), strings.Join(want, ", "); a != b {
			t.Errorf("ease %v: kept %s, want %s", x.ease, a, b)
		}
		if told := strings.Join(strings.Fields(clock.out.String()), " "); !strings.Contains(told, x.says) {
			t.Errorf("ease %v: not told that the clock runs %q", x.ease, x.says)
		}
		again(t, s, lines)
	}
}
