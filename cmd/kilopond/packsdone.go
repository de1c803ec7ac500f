package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/filelog"
	"kilopond/grader/skill"
)

// handedIn closes a sitting at a pack: a receipt, and the report if it may be seen.
func (s *sitting) handedIn(c *cobra.Command) error {
	p := s.pack
	a, err := s.log.Attempt()
	if err != nil {
		return err
	}
	say := func(first, text string) error {
		for _, line := range render.Wrap(text, 78, fmt.Sprintf("%-11s", first), strings.Repeat(" ", 11)) {
			if _, err := fmt.Fprintln(c.OutOrStdout(), line); err != nil {
				return err
			}
		}
		return nil
	}
	if p.place.Try == 1 {
		p.done++
	}
	err = errors.Join(
		say("handed in", fmt.Sprintf("place %d; %d of %d are done", p.place.Subject, p.done, p.pack.Subjects)),
		say("receipt", string(exercises.ReceiptOf(a.Last()))+" — give it to your instructor today: it shows later that the attempt was not changed after"))
	if err != nil {
		return err
	}
	if p.copyIn != "" {
		p.copyTo = filepath.Join(p.copyIn, filepath.Base(s.log.Path()))
	}
	if p.copyTo != "" {
		if err := copyAttempt(p.copyTo, a); err != nil {
			return &hinted{fmt.Errorf("no copy could be made: %w", err), "the attempt itself is kept in " + s.log.Path()}
		}
		c.PrintErrf("copy: %s\n", p.copyTo)
	}
	c.PrintErrf("kept: %s, %d kB: this is the file to send\n", s.log.Path(), (size(a)+999)/1000)
	if a.Header.HeldBack(wallClock(c)) {
		when := "your instructor gives it to you"
		if p.place.Report == exercises.ReportAfter {
			when = fmt.Sprintf("from %s: kilopond grade %s", local(p.place.ReportFrom), s.log.Path())
		}
		return say("report", when)
	}
	return render.Report(c.OutOrStdout(), openedReport(s.book, s.session))
}

func size(a *exercises.Attempt) int {
	n := 0
	for _, raw := range a.Raw {
		n += len(raw) + 1
	}
	return n
}

// copyAttempt writes the attempt where the student wants it; nothing is overwritten.
func copyAttempt(path string, a *exercises.Attempt) error {
	return newFileWhole(path, append(bytes.Join(a.Raw, []byte("\n")), '\n'), 0o600)
}

// dataFolder is where this program keeps what is the user's own.
func dataFolder() (string, error) {
	if base := os.Getenv("XDG_DATA_HOME"); base != "" {
		return filepath.Join(base, "kilopond"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", &hinted{fmt.Errorf("no place to keep the attempt: %w", err), "set XDG_DATA_HOME to a folder"}
	}
	return filepath.Join(home, ".local", "share", "kilopond"), nil
}

// shownLevel is the level at which a short skill counts as shown: more than nine in ten right at the level below. Source: [CHOICE-SKILL-LEVELS].
const shownLevel = 2

// skillsShown refuses a pack while a short skill that it asks for first is not shown, by the student's own file of answers.
func skillsShown(c *cobra.Command, names []string) error {
	if len(names) == 0 {
		return nil
	}
	data, err := dataFolder()
	if err != nil {
		return err
	}
	answers, _, err := filelog.ReadProgress(filepath.Join(data, "skills.jsonl"))
	if err != nil {
		return &hinted{fmt.Errorf("your answers to the short skills cannot be read: %w", err), "kilopond skill says more"}
	}
	at := map[string]skill.Standing{}
	for _, s := range skill.Fold(answers) {
		at[string(s.Skill)] = s
	}
	for _, name := range names {
		s, known := at[name]
		switch {
		case !known:
			c.PrintErrf("note: the pack asks for the short skill %s, which this program has not got\n", name)
		case s.Level < shownLevel:
			so := fmt.Sprintf("you have %d of %d right at level %d", s.At.Right, s.At.N, s.Level)
			if s.At.N == 0 {
				so = "you have not begun it"
			}
			return &hinted{fmt.Errorf("the pack asks for the short skill %s first, up to level %d; %s", name, shownLevel, so), "kilopond skill " + name}
		}
	}
	return nil
}
