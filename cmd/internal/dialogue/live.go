package dialogue

import (
	"context"
	"math"
	"time"

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
	// Before are the commands of earlier sittings.
	Before []exercises.Command
}

// real is how long seconds of the test take in life.
func (l *Live) real(seconds float64) time.Duration {
	return time.Duration(seconds / l.Speed * float64(time.Second))
}

// pace is how much faster than life the clock runs, in words.
func (l *Live) pace() string {
	if l.Speed == 1 {
		return ""
	}
	return " " + number(l.Speed) + " times as fast as life"
}

// longestThought is the longest wait that can be logged as one, in seconds.
const longestThought = 600

// think waits for a typed line while the clock runs. What happens meanwhile is told at the second when it happens. heard is false when the
// input has ended or the student leaves.
func (d *dialogue) think(ctx context.Context, lines <-chan string) (line string, heard bool, err error) {
	l := d.o.Live
	since := l.Clock.Now()
	for ctx.Err() == nil {
		next := d.untilSomething()
		alarm := l.Clock.After(l.real(float64(max(1, next))) - l.Clock.Now().Sub(since))
		select {
		case <-ctx.Done():
		case line, heard = <-lines:
			return line, heard, d.thoughtAway(since)
		case <-alarm:
			if next == 0 { // the person has left: no time passes
				since = l.Clock.Now()
				continue
			}
			d.say("") // below the sign to type
			if err := d.wait(next); err != nil {
				return "", false, err
			}
			since = since.Add(l.real(float64(next)))
			d.prompt()
			if err := d.out.Flush(); err != nil {
				return "", false, err
			}
		}
	}
	return "", false, d.thoughtAway(since)
}

// thoughtAway turns the time since a moment on the wall into waits.
func (d *dialogue) thoughtAway(since time.Time) error {
	l := d.o.Live
	left := int(math.Round(l.Clock.Now().Sub(since).Seconds() * l.Speed))
	for left > 0 {
		next := min(left, d.untilSomething())
		if next == 0 {
			return nil
		}
		if err := d.wait(next); err != nil {
			return err
		}
		left -= next
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

// untilSomething is in how many seconds the next thing happens by itself, at most longestThought; 0 when time does not pass any more.
func (d *dialogue) untilSomething() int {
	s := d.o.Session
	now := s.State()
	if now.ReleasedAtS >= 0 {
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

// unroll shows what a command gave at the seconds when it happened.
func (d *dialogue) unroll(l exercises.Line, began int) error {
	clock := d.o.Live.Clock
	start := clock.Now()
	until := func(at float64) error {
		if err := d.out.Flush(); err != nil {
			return err
		}
		if left := d.o.Live.real(at-float64(began)) - clock.Now().Sub(start); left > 0 && d.ctx.Err() == nil {
			clock.Sleep(d.ctx, left)
		}
		return nil
	}
	for _, p := range d.pieces(l, began) {
		if err := until(p.at); err != nil {
			return err
		}
		_, _ = d.out.WriteString(p.text)
	}
	return until(float64(l.AtS))
}
