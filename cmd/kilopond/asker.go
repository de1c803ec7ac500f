package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

// An asker puts questions one after the other, on a terminal or to a pipe, and takes a line each.
type asker struct {
	in  *bufio.Reader
	out io.Writer
}

// longestAnswer bounds a line, in bytes.
const longestAnswer = 4096

// errUnanswered says that the answers ended before the questions did.
var errUnanswered = errors.New("the answers end here, so nothing was written")

func newAsker(in io.Reader, out io.Writer) *asker {
	return &asker{bufio.NewReaderSize(in, longestAnswer), out}
}

// say prints text wrapped to the width of a page.
func (a *asker) say(text string) error {
	for _, line := range render.Wrap(text, 78, "", "") {
		if _, err := fmt.Fprintln(a.out, line); err != nil {
			return err
		}
	}
	return nil
}

// choice prints one of the answers that a question offers.
func (a *asker) choice(word, says string) error {
	first := fmt.Sprintf("  %-16s ", word)
	for _, line := range render.Wrap(says, 78, first, strings.Repeat(" ", len(first))) {
		if _, err := fmt.Fprintln(a.out, line); err != nil {
			return err
		}
	}
	return nil
}

// line reads an answer. It returns errUnanswered at the end of the answers.
func (a *asker) line() (string, error) {
	raw, err := a.in.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		return "", fmt.Errorf("an answer has more than %d bytes", longestAnswer)
	}
	if errors.Is(err, io.EOF) && len(raw) == 0 {
		return "", errUnanswered
	}
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	return strings.TrimSpace(string(raw)), nil
}

// ask puts a question until its answer passes the check. An empty answer is the one in brackets, when there is one.
func (a *asker) ask(question, usual string, check func(string) error) (string, error) {
	if err := a.say(question); err != nil {
		return "", err
	}
	for {
		prompt := "> "
		if usual != "" {
			prompt = "[" + usual + "] > "
		}
		if _, err := io.WriteString(a.out, prompt); err != nil {
			return "", err
		}
		answer, err := a.line()
		if err != nil {
			return "", err
		}
		if answer == "" {
			answer = usual
		}
		wrong := check(answer)
		if wrong == nil {
			return answer, nil
		}
		if err := a.say("error: " + wrong.Error()); err != nil {
			return "", err
		}
	}
}

// oneOf takes one of some words, and offers the nearest.
func oneOf(words ...string) func(string) error {
	return func(answer string) error {
		for _, w := range words {
			if w == answer {
				return nil
			}
		}
		if near := scenarios.Nearest(answer, words); near != "" {
			return fmt.Errorf("%q: did you mean %s?", answer, near)
		}
		return fmt.Errorf("%q: one of %s", answer, strings.Join(words, ", "))
	}
}

// anyText takes whatever is not blank and can stand on one line of a file.
func anyText(answer string) error {
	if answer == "" {
		return errors.New("say something")
	}
	return printable(answer)
}

// printable refuses what no text file holds.
func printable(answer string) error {
	for _, r := range answer {
		if r == unicode.ReplacementChar || !unicode.IsGraphic(r) {
			return errors.New("this holds a character that is not text")
		}
	}
	return nil
}
