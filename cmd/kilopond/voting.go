package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"

	"kilopond/cmd/internal/dialogue"
	"kilopond/cmd/internal/render"
)

// A voting puts ballots to a class and keeps the votes.
type voting struct {
	ctx   context.Context
	out   io.Writer
	lines <-chan string
	echo  bool // print each typed line, so that a transcript reads alone
	ended bool // nobody votes any more
	table [][]string
	right int
	votes int
}

// put shows a ballot, waits for the votes, and says what the proctor does and how the votes compare. It fails when the class leaves.
func (v *voting) put(place string, b ballot) error {
	say := func(lines ...string) {
		for _, l := range lines {
			fmt.Fprintln(v.out, l)
		}
	}
	say("", place)
	say(render.Wrap(b.question, 78, "", "")...)
	for i, c := range b.choices {
		say(fmt.Sprintf("  %s  %s", letter(i), c.says))
	}
	hands, err := v.hear(len(b.choices))
	if err != nil {
		return err
	}
	say(render.Wrap(fmt.Sprintf("The proctor: %s, %s. %s", letter(b.proctor), b.choices[b.proctor].says, b.why), 78, "", "  ")...)
	all, fit := 0, 0
	var cast []string
	for i, c := range b.choices {
		if hands[i] == 0 {
			continue
		}
		all += hands[i]
		if cast = append(cast, letter(i)); hands[i] > 1 || len(hands) > 1 {
			cast[len(cast)-1] += fmt.Sprintf(" %d", hands[i])
		}
		verdict := "not acceptable here"
		switch {
		case i == b.proctor:
			verdict = "the same"
		case c.fits:
			verdict = "acceptable as well"
		}
		if c.fits {
			fit += hands[i]
		}
		who := "Your vote"
		if len(hands) > 1 || hands[i] > 1 {
			who = fmt.Sprintf("%d for", hands[i])
		}
		say(fmt.Sprintf("%s %s: %s.", who, letter(i), verdict))
	}
	v.votes, v.right = v.votes+all, v.right+fit
	when := strings.Split(place, "   ") // the stage and its clock; dial and metronome are in the course
	row := []string{strings.Join(when[:min(2, len(when))], ", "), b.name, "", letter(b.proctor), ""}
	if all > 0 {
		row[2], row[4] = strings.Join(cast, ", "), fmt.Sprintf("%d of %d", fit, all)
	}
	v.table = append(v.table, row)
	return nil
}

// hear reads one line of votes: how many hands for each choice, none when nobody votes.
func (v *voting) hear(choices int) (map[int]int, error) {
	for !v.ended {
		fmt.Fprint(v.out, "vote> ")
		select {
		case <-v.ctx.Done():
			return nil, errLeft
		case line, more := <-v.lines:
			if !more {
				v.ended = true
				fmt.Fprintln(v.out)
				break
			}
			line = dialogue.Clean(line)
			if v.echo {
				fmt.Fprintln(v.out, line)
			}
			if hands, ok := countHands(line, choices); ok {
				return hands, nil
			}
			fmt.Fprintf(v.out, "A letter from a to %s, or Enter to see. With several hands: a 3, b 12.\n", letter(choices-1))
		}
	}
	return nil, nil
}

// mostHands is more than any class has.
const mostHands = 1000

// countHands reads "b", "aab", or "a 3, b 12".
func countHands(line string, choices int) (map[int]int, bool) {
	hands, last := map[int]int{}, -1
	for _, w := range strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == ':' }) {
		if n, err := strconv.Atoi(w); err == nil {
			if last < 0 || n < 0 || n > mostHands {
				return nil, false
			}
			hands[last] += n - 1 // the letter itself was one
			last = -1
			continue
		}
		for _, r := range w {
			if last = int(r - 'a'); last < 0 || last >= choices {
				return nil, false
			}
			hands[last]++
		}
	}
	for i, n := range hands {
		if n <= 0 {
			delete(hands, i)
		}
	}
	return hands, true
}

func letter(i int) string { return string(rune('a' + i)) }

// result prints the table of votes.
func (v *voting) result() error {
	fmt.Fprint(v.out, "\nThe votes\n---------\n")
	t := render.Table{Header: []string{"when", "decision", "vote", "proctor", "right"}, Rows: v.table, Wrap: -1}
	if err := render.Write(v.out, render.Text, t, nil); err != nil {
		return err
	}
	if v.votes == 0 {
		_, err := fmt.Fprintln(v.out, "Nobody voted.")
		return err
	}
	_, err := fmt.Fprintf(v.out, "Right: %d of %d votes.\n", v.right, v.votes)
	return err
}
