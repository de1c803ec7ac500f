package dialogue

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// A Clock is the clock on the wall; tests have one of their own.
type Clock struct {
	Now   func() time.Time
	Sleep func(context.Context, time.Duration) // until the time is over or the context ends
	After func(time.Duration) <-chan time.Time // sends once when the time is over
}

// WallClock is the clock of the computer.
func WallClock() Clock {
	return Clock{Now: time.Now, After: time.After, Sleep: func(ctx context.Context, d time.Duration) {
		select {
		case <-ctx.Done():
		case <-time.After(d):
		}
	}}
}

// Live lets the clock on the wall run: waiting is real, and thinking counts.
//
// What was thought away becomes wait commands, so that the log is one like any other. They end at the second when something happens, which is
// known beforehand by letting a second session of the same person wait.
type Live struct {
	Clock Clock
	Speed float64 // seconds of the test in a second of life
	// Running keeps the clock in sight going, on a terminal whose cursor can be moved.
	Running bool
	// Before are the commands of earlier sittings.
	Before []exercises.Command
	// Ease is how many times as long a thought may take as it counts, for somebody who is given more time: 0 and 1 are the same, and in +Inf no time
	// passes while one thinks. What is done, a count or a cuff, takes what it takes for everybody.
	Ease float64
}

// thinking is the clock while somebody thinks.
func (l *Live) thinking() *Live {
	slow := *l
	if l.Ease > 1 && !l.stands() {
		slow.Speed /= l.Ease
	}
	return &slow
}

// stands says that no time passes while somebody thinks.
func (l *Live) stands() bool { return math.IsInf(l.Ease, 1) }

// real is how long seconds of the test take in life.
func (l *Live) real(seconds float64) time.Duration {
	return time.Duration(seconds / l.Speed * float64(time.Second))
}

// pace is how fast the clock runs, in words.
func (l *Live) pace() string {
	says := "The clock runs"
	if l.Speed != 1 {
		says += " " + number(l.Speed) + " times as fast as life"
	}
	switch {
	case l.stands():
		return says + ", and stands while you think."
	case l.Ease > 1:
		return says + ", also while you think, then " + number(l.Ease) + " times slower: that is your own time."
	}
	return says + ", also while you think."
}

// longestThought is the longest wait that can be logged as one, in seconds.
const longestThought = 600

// think waits for a typed line while the clock runs. What happens meanwhile is told at the second when it happens. heard is false when the
// input has ended or the student leaves.
func (d *dialogue) think(ctx context.Context, lines <-chan string) (line string, heard bool, err error) {
	l := d.o.Live.thinking()
	since, next := l.Clock.Now(), d.untilSomething()
	for ctx.Err() == nil {
		gone := l.Clock.Now().Sub(since)
		left := l.real(float64(max(1, next))) - gone
		if l.Running && next > 0 {
			left = min(left, l.tick(gone))
			if err := d.runAbove(gone); err != nil {
				return "", false, err
			}
		}
		select {
		case <-ctx.Done():
		case line, heard = <-lines:
			d.open = !heard || d.o.Echo // a terminal has ended the line by itself
			return line, heard, d.thoughtAway(since, next)
		case <-l.Clock.After(left):
			switch {
			case next == 0: // no time passes: the person has left, or the clock stands
				since = l.Clock.Now()
				continue
			case l.Clock.Now().Sub(since) < l.real(float64(next)): // nothing yet
				continue
			}
			if err := d.wait(next); err != nil {
				return "", false, err
			}
			since = since.Add(l.real(float64(next)))
			next = d.untilSomething()
			d.endPrompt()
			d.prompt()
			if err := d.out.Flush(); err != nil {
				return "", false, err
			}
		}
	}
	return "", false, d.thoughtAway(since, next)
}

// thoughtAway turns the time since a moment on the wall into waits; the first thing happens in next seconds.
func (d *dialogue) thoughtAway(since time.Time, next int) error {
	l := d.o.Live.thinking()
	left := int(math.Round(l.Clock.Now().Sub(since).Seconds() * l.Speed))
	for left > 0 && next > 0 {
		seconds := min(left, next)
		if err := d.wait(seconds); err != nil {
			return err
		}
		if left -= seconds; left > 0 {
			next = d.untilSomething()
		}
	}
	return nil
}

// wait logs seconds that have gone by already.
func (d *dialogue) wait(seconds int) error {
	d.lived = true
	defer func() { d.lived = false }()
	_, err := d.do(exercises.Command{Act: exercises.Wait, Seconds: seconds})
	return err
}

// afterThought tells what happened while the student thought, and what the coach says of it unless it has just been said to be due and still is.
func (d *dialogue) afterThought(shown, instead []string) {
	if len(instead) > 0 && strings.Join(d.o.Coach.Due(d.state()), "\n") == d.due {
		instead = nil
	}
	if len(shown)+len(instead) > 0 {
		d.endPrompt()
	}
	d.say(shown...)
	d.coach(instead)
}

// untilSomething is in how many seconds the next thing happens by itself, at most longestThought; 0 when time does not pass any more.
func (d *dialogue) untilSomething() int {
	s := d.o.Session
	now := s.State()
	if now.ReleasedAtS >= 0 || d.o.Live.stands() {
		return 0
	}
	other := exercises.Begin(now.Header, s.Subject())
	for _, c := range d.done {
		if _, err := other.Do(c); err != nil {
			panic("dialogue: a command that was done cannot be done again: " + err.Error())
		}
	}
	l, err := other.Do(exercises.Command{Act: exercises.Wait, Seconds: longestThought})
	if err != nil {
		return 0
	}
	if len(l.Events) > 0 {
		return l.Events[0].AtS - now.ClockS
	}
	return l.AtS - now.ClockS
}

// unroll shows what a command gave at the seconds when it happened. before is where the attempt stood.
func (d *dialogue) unroll(l exercises.Line, before exercises.State) error {
	clock := d.o.Live.Clock
	start, fresh := clock.Now(), true // fresh: the cursor stands at the beginning of a line
	until := func(at float64) error {
		shown := false
		for d.ctx.Err() == nil {
			gone := clock.Now().Sub(start)
			left := d.o.Live.real(at-float64(before.ClockS)) - gone
			if left <= 0 {
				break
			}
			if d.o.Live.Running && fresh {
				fmt.Fprintf(d.out, "\r%s\x1b[K", d.o.Live.placeAfter(before, gone))
				left, shown = min(left, d.o.Live.tick(gone)), true
			}
			if err := d.out.Flush(); err != nil {
				return err
			}
			clock.Sleep(d.ctx, left)
		}
		if shown {
			_, _ = d.out.WriteString("\r\x1b[K")
		}
		return d.out.Flush()
	}
	for _, p := range d.pieces(l, before.ClockS) {
		if err := until(p.at); err != nil {
			return err
		}
		_, _ = d.out.WriteString(render.Legible(p.text))
		fresh = strings.HasSuffix(p.text, "\n")
	}
	return until(float64(l.AtS))
}

// A tick is a second of the test, or a quarter of one of life when that is longer: the clock that is seen must not flicker.
const shortestTick = time.Second / 4

// tick is how long it is until the clock that is seen goes on.
func (l *Live) tick(gone time.Duration) time.Duration {
	step := max(l.real(1), shortestTick)
	return step - gone%step
}

// placeAfter is the place and the clock some time after a state in which nothing happened.
func (l *Live) placeAfter(s exercises.State, gone time.Duration) string {
	s.ClockS += int(gone.Seconds() * l.Speed)
	return Place(&s)
}

// runAbove writes the clock of now over the place above the prompt, and leaves what is being typed alone.
func (d *dialogue) runAbove(gone time.Duration) error {
	fmt.Fprintf(d.out, "\x1b7\x1b[%dA\r%s\x1b[K\x1b8", d.below, d.o.Live.thinking().placeAfter(*d.state(), gone))
	return d.out.Flush()
}
