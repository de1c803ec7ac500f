package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/dialogue"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// beforeS is how long before a mistake the person comes back. Source: [CHOICE-REDO].
const beforeS = 60

// redo begins a new attempt with the person of one that was handed in, goes its way as far as a minute before the costliest mistake, and leaves the
// rest to the student. The earlier attempt stays as it is.
func redo(c *cobra.Command, given []string, path string) (*sitting, error) {
	for _, flag := range []string{"continue", "seed", "rulebook", "set"} {
		if len(given) > 0 || c.Flags().Changed(flag) {
			return nil, usage("kilopond drill --redo FILE, with nothing else but --at, --out, --cases, --coach, --live, --speed and --beats",
				"--redo: the case, seed and rules are those of the attempt")
		}
	}
	old, err := readAttempt(path)
	if err != nil {
		return nil, unread(err)
	}
	fail := func(why, hint string) (*sitting, error) { return nil, &hinted{fmt.Errorf("%s: %s", path, why), hint} }
	switch {
	case old.Header.Pack != nil:
		return fail("belongs to a pack, whose people come once", "practise with somebody else: kilopond drill "+old.Header.Case)
	case !old.Closed():
		return fail("is not handed in yet", "go on with it: kilopond drill --continue FILE")
	case old.Header.Model != scenarios.Model:
		return fail(fmt.Sprintf("of model %d; this program has %d, whose subjects differ", old.Header.Model, scenarios.Model), "the program that made it can do it over")
	}
	from, err := shelf(c)
	if err != nil {
		return nil, err
	}
	sc, err := from.subjectOf(old.Header)
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "--cases names the folder that its case is in"}
	}
	b, err := keptRules(old.Header)
	if err != nil {
		return nil, err
	}
	at, err := redoFrom(c, b, old, path)
	if err != nil {
		return nil, err
	}
	mode, coached := manner(c)
	lines := exercises.Until(old.Lines, at)
	session, err := exercises.Again(exercises.NewHeader(sc, old.Header.Rulebook, old.Header.RulebookHash, mode, coached), sc, lines)
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "kilopond verify FILE says what does not hold"}
	}
	log, err := newFile(c, session.State().Header)
	if err != nil {
		return nil, err
	}
	s := &sitting{log: log, session: session, book: b, resumed: len(lines) > 0}
	for _, l := range lines {
		if _, err := log.Append(s.lines, exercises.Line{AtS: l.AtS, Command: l.Command, Events: l.Events}); err != nil {
			return nil, errors.Join(err, log.Close())
		}
		s.lines++
		s.before = append(s.before, l.Command)
	}
	return s, nil
}

// redoFrom is the second of the encounter up to which an attempt is gone again.
func redoFrom(c *cobra.Command, b grader.Rulebook, old *exercises.Attempt, path string) (int, error) {
	text, err := c.Flags().GetString("at")
	must(err)
	if text != "" {
		at, ok := dialogue.ReadClock(text)
		if !ok {
			return 0, usage("minutes and seconds as the course of the test has them: --at 22:03", "--at %q: not a time", text)
		}
		return at, nil
	}
	course, err := grader.Read(old.Header, old.Lines)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", path, err)
	}
	p := grader.Grade(b, course).Practise
	if p == nil {
		return 0, &hinted{fmt.Errorf("%s: nothing was found in it that could be done better", path), "choose a time yourself with --at 22:03, or a new person: kilopond drill"}
	}
	return max(0, p.AtS-beforeS), nil
}
