package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

func newAssignAdd() *cobra.Command {
	c := &cobra.Command{
		Use:   "add ASSIGNMENT.json",
		Short: "Packs for students who join later; those given out before stay as they are",
		Long: "Packs for students who join the course later, under the same rules and in the same window. Give the class list as it is now: who has a\n" +
			"pack keeps it, who is new gets one. The new packs take the next turns of the class, so that it stays balanced; they are put beside the\n" +
			"others, and assignment.json and codes.csv name everybody. --until is an end of their own; it can stand in the list, too, in a column until.\n\n" +
			packLimits + "\n\n" + render.Caution,
		Args: args(cobra.ExactArgs(1), "kilopond assign add week-9/assignment.json --roster class.csv"),
	}
	addRoster(c)
	c.Flags().String("until", "", "when it closes for those who join; a date alone counts to its end (otherwise as for all)")
	addFormat(c)
	c.RunE = assignAdd
	return c
}

func assignAdd(c *cobra.Command, given []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	until, err := c.Flags().GetString("until")
	must(err)
	var end time.Time
	if until != "" {
		if end, err = moment("until", until, true); err != nil {
			return err
		}
	}
	roster, err := rosterFlag(c)
	if err != nil {
		return err
	}
	a, err := readAssignment(given[0])
	if err != nil {
		return err
	}
	if a.Model != scenarios.Model {
		return &hinted{fmt.Errorf("%s is made for model %d; this program has %d, whose people differ", given[0], a.Model, scenarios.Model),
			"use the version of the program that made it"}
	}
	book, err := grader.FromJSON(a.Rulebook)
	if err != nil {
		return &hinted{fmt.Errorf("%s: its rules cannot be used here: %w", given[0], err), "use the version of the program that made it"}
	}
	more, err := joining(a, roster, end, wallClock(c))
	if err != nil {
		return err
	}
	cases, err := casesFor(given[0], a)
	if err != nil {
		return err
	}
	draft, err := exercises.Join(a, book.Rules, cases, more)
	if err != nil {
		return &hinted{fmt.Errorf("%s: %w", given[0], err), "kilopond assign new makes packs that stand alone"}
	}
	made, students, err := drawn(c, draft)
	if err != nil {
		return err
	}
	a = draft.Finish(students)
	folder := filepath.Dir(given[0])
	if err := addPacks(given[0], a, made); err != nil {
		return err
	}
	if err := writeAssigned(c, f, a, folder, book, roster, made); err != nil {
		return err
	}
	var names []string
	for _, m := range made {
		names = append(names, packName(m.Pack.Label))
	}
	c.PrintErrf("added: %s in %s: %s\ncodes.csv and assignment.json name everybody now; the packs of before are as they were\n",
		howMany(len(made), "pack"), filepath.Join(folder, "packs"), strings.Join(names, ", "))
	return nil
}

// casesFor are the cases that ship, and the instructor's own that the assignment has.
func casesFor(path string, a exercises.Assignment) ([]scenarios.Case, error) {
	own, err := a.Own()
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "use the version of the program that made it"}
	}
	return caseShelf{own}.all()
}

// joining are those of the class list who have no pack yet, with their own end of the window.
func joining(a exercises.Assignment, roster exercises.Roster, end, now time.Time) ([]exercises.Entrant, error) {
	has := map[string]bool{}
	for _, s := range a.Students {
		has[strings.ToLower(s.Key)] = true
	}
	var more []exercises.Entrant
	for _, e := range roster.Entrants {
		if has[strings.ToLower(e.Key)] {
			continue
		}
		if e.End.IsZero() {
			e.End = end
		}
		if closes := (exercises.Student{Until: e.End}).Own(a.Terms).Until; !closes.IsZero() && !closes.After(now) {
			return nil, usage("give those who join an end of their own: --until 2026-12-11", "for %s it closed on %s", e.Name, local(closes))
		}
		more = append(more, e)
	}
	if len(more) == 0 {
		return nil, usage("the list should hold those who joined, by the key of the gradebook", "everybody in the list has a pack of this assignment already")
	}
	return more, nil
}

// addPacks puts new packs beside the others. The instructor's file is what counts: it is replaced in one step once they are there.
func addPacks(path string, a exercises.Assignment, made []exercises.Made) error {
	folder := filepath.Dir(path)
	packs := filepath.Join(folder, "packs")
	if err := os.MkdirAll(packs, 0o755); err != nil {
		return &hinted{fmt.Errorf("the packs cannot be written: %w", err), "nothing was changed"}
	}
	for _, m := range made {
		raw, err := m.Pack.Encode()
		if err == nil {
			err = replaceFile(filepath.Join(packs, packName(m.Pack.Label)), raw, 0o644)
		}
		if err != nil {
			return &hinted{fmt.Errorf("the packs cannot be written: %w", err), "nobody was added; put that right and give the same command again"}
		}
	}
	own, err := a.Encode()
	if err != nil {
		return err
	}
	if err := replaceFile(path, own, 0o600); err != nil {
		return &hinted{fmt.Errorf("the instructor's file cannot be written: %w", err), "nobody was added; put that right and give the same command again"}
	}
	codes, err := codesCSV(a)
	if err != nil {
		return err
	}
	if err := replaceFile(filepath.Join(folder, "codes.csv"), codes, 0o600); err != nil {
		return &hinted{fmt.Errorf("the students are added, but codes.csv cannot be written: %w", err), "kilopond assign show PACK --key " + path + " names the code"}
	}
	return nil
}
