package dialogue

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
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
	Rules  []string // the house rules in force, a line each
	Live   *Live    // the clock on the wall runs; nil when time passes only by commands
	Coach  *Coach   // speaks at each prompt; nil when working alone
	List   bool     // beats and sounds as lists of times, for a screen reader
	Echo   bool     // print each typed line, so that a transcript reads alone
	Resume bool     // the attempt was begun at another sitting
}

// A Coach says what is due, and what would have been right. What it knows of the trade is not known here.
type Coach struct {
	// Due is what is due at a state and why, a paragraph a line.
	Due func(*exercises.State) []string
	// Instead is asked before a command is done; what it returns is asked afterwards, and says what should have been done, or nothing.
	Instead func(*exercises.State, exercises.Command) func() []string
}

// ErrLeft says that the input ended, or the student left, before the sheet was handed in. Nothing is lost.
var ErrLeft = errors.New("left before handing in")

// longestLine is more than anybody types, in bytes; width leaves a margin within 80 columns.
const (
	longestLine = 2000
	width       = 78
)

// Run holds the conversation until the sheet is handed in (nil), the student leaves (ErrLeft), or the context ends.
func Run(ctx context.Context, in io.Reader, out io.Writer, o Options) error {
	d := &dialogue{o: o, out: bufio.NewWriter(out), ctx: ctx}
	if o.Live != nil {
		d.done = slices.Clone(o.Live.Before)
	}
	d.begin()
	lines := make(chan string)
	done := make(chan struct{})
	defer close(done)
	go read(in, lines, done)
	for {
		d.prompt()
		if err := d.out.Flush(); err != nil {
			return err
		}
		line, heard, err := d.listen(ctx, lines)
		switch {
		case err != nil:
			return errors.Join(err, d.out.Flush())
		case ctx.Err() != nil:
			d.say("", "Left. Everything up to the last prompt is kept.")
			return errors.Join(ErrLeft, d.out.Flush())
		case !heard:
			d.say("", "The input has ended. Everything is kept; go on later where you are now.")
			return errors.Join(ErrLeft, d.out.Flush())
		}
		if o.Echo {
			d.say(clean(line))
		}
		d.open = false
		end, err := d.take(line)
		if end || err != nil {
			return errors.Join(err, d.out.Flush())
		}
	}
}

// listen waits for a typed line; heard is false when the input has ended or the student leaves.
func (d *dialogue) listen(ctx context.Context, lines <-chan string) (line string, heard bool, err error) {
	if d.o.Live != nil {
		return d.think(ctx, lines)
	}
	select {
	case <-ctx.Done():
	case line, heard = <-lines:
	}
	return line, heard, nil
}

// read sends typed lines until the input ends: a blocked read cannot be called off, so it has a goroutine of its own. Of a line too long to
// be meant no more is kept than shows that it is.
func read(in io.Reader, lines chan<- string, done <-chan struct{}) {
	defer close(lines)
	r := bufio.NewReaderSize(in, longestLine)
	var line []byte
	for first := true; ; first = false {
		part, err := r.ReadSlice('\n')
		if order := wideOrder(part); first && order != nil {
			rest, _ := io.ReadAll(io.LimitReader(r, mostWide)) // what could be read is typed; a fault of the reading ends the input as elsewhere
			r = bufio.NewReaderSize(strings.NewReader(fromWide(append(part[2:len(part):len(part)], rest...), order)), longestLine)
			continue
		}
		if len(line) <= longestLine {
			line = append(line, part...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if len(line) > 0 {
			select {
			case lines <- strings.TrimRight(string(line), "\r\n"):
			case <-done:
				return
			}
		}
		if err != nil {
			return
		}
		line = line[:0]
	}
}

type dialogue struct {
	o    Options
	out  *bufio.Writer
	last string           // the last place that was printed
	at   *exercises.State // what is told of, when that is not the session's present

	ctx   context.Context     // of the whole conversation
	done  []exercises.Command // all so far, when live
	open  bool                // the sign to type stands on a line of its own, unanswered
	due   string              // what the coach said last
	below int                 // how many lines the prompt stands below the place
	lived bool                // the seconds of the command under way have gone by already
}

// say prints lines; what is long is wrapped by whoever made it.
func (d *dialogue) say(lines ...string) {
	for _, l := range lines {
		fmt.Fprintln(d.out, render.Legible(l))
	}
}

func (d *dialogue) state() *exercises.State {
	if d.at != nil {
		return d.at
	}
	return d.o.Session.State()
}

// begin says who comes in and what the first words could be.
func (d *dialogue) begin() {
	s := d.state()
	who := s.Header.Subject
	entry := fmt.Sprintf("%s, %s, %d, %s.", who.Name, render.SexWord(who.Sex), who.AgeY, who.Work)
	if d.o.Resume {
		d.say(wrap("You go on with "+entry, width, "")...)
		if r := s.Header.Redo; r != nil && r.AtS == s.ClockS {
			d.say(wrap("Practice: up to here all is as it was the first time. From now on it is yours.", width, "")...)
		}
		d.say(d.sheet()...)
		d.say(lastWords(s)...)
		if d.o.Live != nil {
			d.say(wrap("The clock runs again from now on. The time that you were away does not count.", width, "")...)
		}
		return
	}
	d.say("On the list: " + entry)
	passes := "Time passes only by what you do."
	if d.o.Live != nil {
		passes = d.o.Live.pace()
		if !d.o.Live.Running {
			passes += " Enter alone shows the time."
		}
	}
	d.say(wrap("The room is yours: a cycle, a metronome, cuffs, a stethoscope, a watch, a data sheet. The person waits outside until you greet them. "+passes, width, "")...)
	d.say(wrap("`help` lists what can be done, `rules` the rules of the house. Ctrl-D leaves; nothing is lost.", width, "")...)
	if d.o.Coach != nil {
		d.say(wrap("A coach stands beside you. At each prompt you hear what is due and why; after an act that was not acceptable, what was. This is practice, and the report says so.", width, "")...)
	}
	d.say(wrap(render.Caution, width, "")...)
}

// lastWords is the last thing that the person said, for somebody who comes back.
func lastWords(s *exercises.State) []string {
	for _, e := range slices.Backward(s.Events) {
		if f, ok := e.Fact.(exercises.Said); ok {
			return wrap("The last words were: “"+f.Words+"”", width, "")
		}
	}
	return nil
}

// prompt prints where and when we are, when that has changed, and the sign to type.
func (d *dialogue) prompt() {
	if place := Place(d.state()); place != d.last || d.o.Live != nil && d.o.Live.Running {
		d.say("", place)
		d.last = place
	}
	d.below = 1
	if d.o.Coach != nil {
		due := d.o.Coach.Due(d.state())
		d.below += d.coach(due)
		d.due = strings.Join(due, "\n")
	}
	fmt.Fprint(d.out, "> ")
	d.open = true
}

// endPrompt goes to the next line when nobody has typed.
func (d *dialogue) endPrompt() {
	if d.open {
		d.say("")
	}
	d.open = false
}

// take does one typed line; end is true when the sheet has been handed in or the student leaves.
func (d *dialogue) take(line string) (end bool, err error) {
	if len(line) > longestLine {
		d.say("That line is too long to be meant. Nothing was done.")
		return false, nil
	}
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
		d.say(wrap(problem.What, width, "")...)
		d.say(wrap(problem.Hint, width, "  ")...)
		return false, nil
	}
	return d.do(c)
}

// do carries out a command; its line is acknowledged before a word of it is shown.
func (d *dialogue) do(c exercises.Command) (end bool, err error) {
	before := *d.state()
	instead := func() []string { return nil }
	if d.o.Coach != nil {
		instead = d.o.Coach.Instead(d.state(), c)
	}
	line, err := d.o.Session.Do(c)
	var no *exercises.Refused
	if errors.As(err, &no) {
		d.say(wrap(capital(inWords(no.What))+".", width, "")...)
		d.say(wrap(no.Hint, width, "  ")...)
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
	if d.o.Live == nil {
		d.say(d.show(line, before.ClockS)...)
		d.coach(instead())
		return d.state().Closed, nil
	}
	d.done = append(d.done, c)
	if d.lived {
		d.afterThought(d.show(line, before.ClockS), instead())
		return false, nil
	}
	if err := d.unroll(line, before); err != nil {
		return true, err
	}
	d.coach(instead())
	return d.state().Closed, nil
}

// coach tells what the coach says, set in from the rest, and returns how many lines that took.
func (d *dialogue) coach(lines []string) (rows int) {
	for _, l := range lines {
		wrapped := render.Wrap(l, width, "  ", "    ")
		d.say(wrapped...)
		rows += len(wrapped)
	}
	return rows
}

// clean takes out what no keyboard types, and the end of a line too long to be meant.
func clean(line string) string {
	line = strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(line, " "))
	if r := []rune(line); len(r) > longestLine {
		line = string(r[:longestLine])
	}
	return strings.TrimSpace(line)
}

// inWords puts the printed names of the sheet's boxes for the names under which they are kept, and a true minus.
func inWords(text string) string {
	for _, key := range exercises.Keys() {
		if rest, ok := strings.CutPrefix(text, string(key)); ok && (rest == "" || rest[0] == ' ' || rest[0] == ':') {
			name, _ := render.Box(key)
			text = name + rest
			break
		}
	}
	text = strings.ReplaceAll(text, " -", " −")
	for strings.Count(text, `"`) >= 2 {
		text = strings.Replace(strings.Replace(text, `"`, "“", 1), `"`, "”", 1)
	}
	return text
}

func capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	r[0] = unicode.ToUpper(r[0])
	return string(r)
}

// wrap breaks a text into lines of at most width, each begun with indent.
func wrap(text string, width int, indent string) []string {
	return render.Wrap(text, width, indent, indent)
}
