package dialogue

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

// Options are what one sitting needs.
type Options struct {
	Session *exercises.Session
	// Append acknowledges a line: it is called before anything of the line is printed. Nil keeps nothing.
	Append func(exercises.Line) error
	Rules  []string                        // the house rules in force, a line each
	Coach  func(*exercises.State) []string // what is due and why; nil when working alone
	Arrive string                          // what is seen in the door
	List   bool                            // beats and sounds as lists of times, for a screen reader
	Echo   bool                            // print each typed line, so that a transcript reads alone
	Resume bool                            // the attempt was begun at another sitting
}

// ErrLeft says that the input ended, or the student left, before the sheet was handed in. Nothing is lost.
var ErrLeft = errors.New("left before handing in")

// longestLine is more than anybody types.
const longestLine = 2000

// Run holds the conversation until the sheet is handed in (nil), the student leaves (ErrLeft), or the context ends.
func Run(ctx context.Context, in io.Reader, out io.Writer, o Options) error {
	d := &dialogue{o: o, out: bufio.NewWriter(out)}
	d.open()
	lines := make(chan string)
	done := make(chan struct{})
	defer close(done)
	go read(in, lines, done)
	for {
		d.prompt()
		if err := d.out.Flush(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			d.say("", "Left. Everything up to the last prompt is kept.")
			return errors.Join(ErrLeft, d.out.Flush())
		case line, more := <-lines:
			if !more {
				d.say("", "The input has ended. Everything is kept; go on later where you are now.")
				return errors.Join(ErrLeft, d.out.Flush())
			}
			if o.Echo {
				d.say(clean(line))
			}
			end, err := d.take(line)
			if end || err != nil {
				return errors.Join(err, d.out.Flush())
			}
		}
	}
}

// read sends typed lines until the input ends: a blocked read cannot be called off, so it has a goroutine of its own.
func read(in io.Reader, lines chan<- string, done <-chan struct{}) {
	defer close(lines)
	r := bufio.NewReaderSize(in, longestLine)
	for {
		line, err := r.ReadString('\n')
		if line != "" {
			select {
			case lines <- strings.TrimRight(line, "\r\n"):
			case <-done:
				return
			}
		}
		if err != nil {
			return
		}
	}
}

type dialogue struct {
	o    Options
	out  *bufio.Writer
	last string           // the last place that was printed
	at   *exercises.State // what is told of, when that is not the session's present
}

// say prints lines; what is long is wrapped by whoever made it.
func (d *dialogue) say(lines ...string) {
	for _, l := range lines {
		fmt.Fprintln(d.out, l)
	}
}

func (d *dialogue) state() *exercises.State {
	if d.at != nil {
		return d.at
	}
	return d.o.Session.State()
}

// open says who comes in and what the first words could be.
func (d *dialogue) open() {
	s := d.state()
	who := s.Header.Subject
	if d.o.Resume {
		d.say(wrap("You go on with "+who.Name+".", 78, "")...)
		d.say(d.sheet()...)
		return
	}
	d.say("On the list: " + who.Name + ", " + sexWord(who.Sex) + ", " + fmt.Sprint(who.AgeY) + ", " + who.Work + ".")
	d.say(wrap("The room is yours: a cycle, a metronome, cuffs, a stethoscope, a watch, a data sheet. The person waits outside until you greet them. Time passes only by what you do.", 78, "")...)
	d.say(wrap("`help` lists what can be done, `rules` the rules of the house. Ctrl-D leaves; nothing is lost.", 78, "")...)
	d.say(wrap(render.Caution, 78, "")...)
}

// prompt prints where and when we are, when that has changed, and the sign to type.
func (d *dialogue) prompt() {
	if place := Place(d.state()); place != d.last {
		d.say("", place)
		d.last = place
	}
	if d.o.Coach != nil {
		for _, due := range d.o.Coach(d.state()) {
			d.say(wrap(due, 78, "  ")...)
		}
	}
	fmt.Fprint(d.out, "> ")
}

// take does one typed line; end is true when the sheet has been handed in or the student leaves.
func (d *dialogue) take(line string) (end bool, err error) {
	line = clean(line)
	words := strings.Fields(strings.ToLower(line))
	if len(words) == 0 {
		return false, nil
	}
	switch words[0] {
	case "help", "?":
		d.say(help(words[1:])...)
		return false, nil
	case "rules":
		d.say(d.o.Rules...)
		return false, nil
	case "sheet":
		d.say(d.sheet()...)
		return false, nil
	case "quit", "exit", "leave":
		d.say("Left. Everything is kept; go on later where you are now.")
		return true, ErrLeft
	}
	c, problem := Parse(line, d.state())
	if problem != nil {
		d.say(wrap(problem.What, 78, "")...)
		d.say(wrap(problem.Hint, 78, "  ")...)
		return false, nil
	}
	return d.do(c)
}

// do carries out a command; its line is acknowledged before a word of it is shown.
func (d *dialogue) do(c exercises.Command) (end bool, err error) {
	began := d.state().ClockS
	line, err := d.o.Session.Do(c)
	var no *exercises.Refused
	if errors.As(err, &no) {
		d.say(wrap(capital(no.What)+".", 78, "")...)
		d.say(wrap(no.Hint, 78, "  ")...)
		return false, nil
	}
	if err != nil {
		return true, err
	}
	if d.o.Append != nil {
		if err := d.o.Append(line); err != nil {
			return true, fmt.Errorf("that could not be kept, so it does not count: %w", err)
		}
	}
	d.say(d.show(line, began)...)
	return d.state().Closed, nil
}

// clean takes out what no keyboard types, and the end of a line too long to be meant.
func clean(line string) string {
	line = strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(line, " "))
	if r := []rune(line); len(r) > longestLine {
		line = string(r[:longestLine])
	}
	return strings.TrimSpace(line)
}

func capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	r[0] = unicode.ToUpper(r[0])
	return string(r)
}

func sexWord(sex string) string {
	if sex == "F" {
		return "female"
	}
	return "male"
}

// wrap breaks a text into lines of at most width, each begun with indent.
func wrap(text string, width int, indent string) []string {
	return render.Wrap(text, width, indent, indent)
}
