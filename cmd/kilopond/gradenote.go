package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
)

func newGradeNote() *cobra.Command {
	c := &cobra.Command{
		Use:   "note FILE --because REASON",
		Short: "Note your own mark, or decide on one rule, beside the automatic mark",
		Long: "Note what you decide on an attempt, with the reason: --mark 1 to 5 for the whole, or --rule NAME --credit 0 to 1 for one rule (full credit\n" +
			"also opens the gate that the rule closed; --credit auto takes a decision back). It is added to grades.jsonl beside the file, which is only\n" +
			"ever added to. The automatic mark stays and is shown beside. A note goes with the attempt, whatever its file is called.",
		Args: args(cobra.ExactArgs(1), `kilopond grade note FILE --mark 4 --because "calm and clear; counted late twice"`),
	}
	wholeFlag(c.Flags(), "mark", 0, "a mark for the whole, from 1 (poor) to 5 (excellent)")
	c.Flags().String("rule", "", "the rule that you decide on, as the report names it")
	c.Flags().String("credit", "", "for that rule: 0 to 1, or auto")
	c.Flags().String("because", "", "the reason")
	c.Flags().String("log", "", "keep it in this file instead of grades.jsonl beside the attempt")
	addKey(c)
	c.RunE = gradeNote
	return c
}

func gradeNote(c *cobra.Command, given []string) error {
	get := func(name string) string {
		s, err := c.Flags().GetString(name)
		must(err)
		return s
	}
	because := strings.TrimSpace(get("because"))
	if because == "" {
		return usage(`for example --because "the count was right; the clock was not started"`, "grade note: no reason given")
	}
	mark, err := c.Flags().GetInt("mark")
	must(err)
	hasMark, hasRule := c.Flags().Changed("mark"), c.Flags().Changed("rule")
	if !hasMark && !hasRule || hasRule != c.Flags().Changed("credit") {
		return usage("--mark 4, or --rule pulse-timing --credit 1", "grade note: nothing to note")
	}
	var notes []grader.Noted
	if hasMark {
		notes = append(notes, grader.Noted{Comment: &grader.Comment{Mark: mark, Because: because}})
	}
	if hasRule {
		d := grader.Decided{Rule: get("rule"), Because: because}
		if text := get("credit"); text != "auto" {
			x, err := decimal(text)
			if err != nil {
				return usage("a number from 0 to 1, or auto", "--credit %q: not a number", text)
			}
			d.Credit = &x
		}
		notes = append(notes, grader.Noted{Decided: &d})
	}
	for _, n := range notes { // before any file is looked at
		n.Format, n.Head = grader.GradesFormat, "-"
		if err := n.Check(); err != nil {
			return usage("kilopond grade FILE names the rules that were reached", "grade note: %w", err)
		}
	}
	a, err := readAttempt(given[0])
	if err != nil {
		return unread(err)
	}
	key, err := readKey(c)
	if err != nil {
		return err
	}
	if a.Header, err = released(key, wallClock(c), given[0], a); err != nil { // what was reached is not told either
		return err
	}
	if err := reached(a, get("rule")); err != nil {
		return &hinted{fmt.Errorf("%s: %w", given[0], err), "kilopond grade FILE names the rules that were reached"}
	}
	at := now()
	for i := range notes {
		notes[i].At, notes[i].Head, notes[i].Student = at, a.Last(), studentOf(given[0], given[0])
		if a.Header.Pack != nil {
			notes[i].Student = a.Header.Pack.Code
		}
	}
	path := get("log")
	if path == "" {
		path = logBeside(given[0])
	}
	if err := addNotes(path, notes); err != nil {
		return &hinted{fmt.Errorf("it cannot be noted: %w", err), "give another file by --log"}
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "Noted in %s.\n", path)
	return err
}

// reached says whether a rule was reached in the attempt: else a decision on it would change nothing.
func reached(a *exercises.Attempt, rule string) error {
	if rule == "" {
		return nil
	}
	b, err := keptRules(a.Header)
	if err != nil {
		return err
	}
	course, err := grader.Read(a.Header, a.Lines)
	if err != nil {
		return err
	}
	for _, i := range grader.MarkOf(b, course, nil).Items {
		if i.Rule == rule {
			return nil
		}
	}
	return fmt.Errorf("rule %s was not reached in this attempt", rule)
}

// notedBeside is the part of a report that the instructor has noted of the attempt in the log beside its file.
func notedBeside(c *cobra.Command, path string, head string, m func() grader.Mark) []render.Section {
	notes, problems := readNotes([]string{logBeside(path)})
	for _, p := range problems {
		c.PrintErrf("error: %s\n", p)
	}
	return notedPart(grader.Histories(notes)[head], m)
}

// notedPart is what the instructor noted, as a part of the report; none when nothing was.
func notedPart(h grader.History, m func() grader.Mark) []render.Section {
	if h.Comment == nil && len(h.Decided) == 0 {
		return nil
	}
	s := render.Section{ID: "noted", Title: "Noted by the instructor"}
	say := func(format string, args ...any) {
		s.Blocks = append(s.Blocks, render.Say{Text: fmt.Sprintf(format, args...)})
	}
	for _, d := range h.Decided {
		say("%s: credit %s. %s", d.Rule, render.Num(d.Credit, 2), d.Because)
	}
	if len(h.Decided) > 0 {
		decided := m().With(h.Decided)
		verdict := "not passed"
		if decided.Passed {
			verdict = "passed"
		}
		say("With that: %s %%, %s.", num(decided.Percent, 1), verdict)
	}
	if h.Comment != nil {
		say("Mark %d of 5. %s", h.Comment.Mark, h.Comment.Because)
	}
	return []render.Section{s}
}
