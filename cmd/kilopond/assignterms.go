package main

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/skill"
	"kilopond/scenarios"
)

// rosterFlag reads the class list of --roster.
func rosterFlag(c *cobra.Command) (exercises.Roster, error) {
	path, err := c.Flags().GetString("roster")
	must(err)
	key, err := c.Flags().GetString("key")
	must(err)
	if path == "" {
		return exercises.Roster{}, usage("a CSV with a name and a key for each student: --roster class.csv", "%s: --roster says who takes part", c.CommandPath())
	}
	class, err := c.Flags().GetString("class")
	must(err)
	r, err := readRoster(path, key, class, "nothing was made")
	if err != nil {
		return r, err
	}
	return ownEnds(path, r)
}

// ownEnds turns what the list says of somebody's own end of the window into times.
func ownEnds(path string, r exercises.Roster) (exercises.Roster, error) {
	for i, e := range r.Entrants {
		if e.Until == "" {
			continue
		}
		end, err := moment("until", e.Until, true)
		if err != nil {
			return r, usage("a day such as 2026-12-11, or a time such as 2026-12-11 18:00; nothing was made", "%s:%d: until %q: no day", path, e.Line, e.Until)
		}
		r.Entrants[i].End = end
	}
	return r, nil
}

// readRoster reads a class list: a CSV, or OneRoster's files in a folder or a zip. Every fault comes with its line; undone says what has not happened.
func readRoster(path, key, class, undone string) (exercises.Roster, error) {
	r, err := rosterOf(path, key, class)
	var faults *exercises.RosterFaults
	if errors.As(err, &faults) {
		return r, usage("put that right and try again; "+undone, "the roster cannot be used:\n%w", err)
	}
	return r, err
}

func rosterOf(path, key, class string) (exercises.Roster, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return exercises.ReadOneRoster(path, os.DirFS(path), class, key)
	}
	data, err := readSmall(path, 64<<20)
	if err != nil {
		return exercises.Roster{}, err
	}
	if z, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
		if _, err := z.Open("users.csv"); err == nil {
			return exercises.ReadOneRoster(path, bounded{z}, class, key)
		}
	}
	if class != "" {
		return exercises.Roster{}, usage("a list of your own is the class", "--class goes with the files of OneRoster, in a folder or a zip")
	}
	return exercises.ReadRoster(path, data, key)
}

// bounded refuses files of a zip that unpack to more than a class list can be.
type bounded struct{ fs.FS }

func (b bounded) Open(name string) (fs.File, error) {
	f, err := b.FS.Open(name)
	if err != nil {
		return nil, err
	}
	if info, err := f.Stat(); err != nil || info.Size() > 64<<20 {
		return nil, errors.Join(fmt.Errorf("%s: too large", name), err, f.Close())
	}
	return f, nil
}

// termsFlags reads what is set for everybody.
func termsFlags(c *cobra.Command, book grader.Rulebook, cases int, mix scenarios.CaseMix) (exercises.Terms, error) {
	f := c.Flags()
	text := func(name string) string {
		s, err := f.GetString(name)
		must(err)
		return s
	}
	number := func(name string) int {
		n, err := f.GetInt(name)
		must(err)
		return n
	}
	t := exercises.Terms{
		Assignment: "new", Title: strings.TrimSpace(text("title")), Model: scenarios.Model, RulebookHash: book.Hash(), Rulebook: book.JSON(),
		Attempts: number("attempts"), SittingMin: number("sitting"), From: wallClock(c),
	}
	if t.Title == "" {
		t.Title = fmt.Sprintf("%d people", cases)
		if mix != "" {
			t.Title = "People for a fitness test"
		}
	}
	var err error
	if s := text("from"); s != "" {
		if t.From, err = moment("from", s, false); err != nil {
			return t, err
		}
	}
	if s := text("until"); s != "" {
		if t.Until, err = moment("until", s, true); err != nil {
			return t, err
		}
		if !t.Until.After(wallClock(c)) {
			return t, usage("give a day that is still to come", "--until %s: over already", s)
		}
	}
	if t.Coach, err = f.GetBool("coach"); err != nil {
		must(err)
	}
	if t.Skills, err = f.GetStringSlice("skill"); err != nil {
		must(err)
	}
	for _, name := range t.Skills {
		if !slices.Contains(skill.Names(), name) {
			return t, usage(nearestOf(name, skill.Names()), "--skill %q: no short skill of that name", name)
		}
	}
	t.Report = exercises.ReportRule(text("report"))
	if t.Report == "" {
		t.Report = exercises.ReportAfter
		if t.Until.IsZero() {
			t.Report = exercises.ReportHeld
		}
	}
	rule, percent, given := strings.Cut(text("late"), "=")
	t.Late = exercises.LateRule(rule)
	if given {
		if t.LatePercent, err = strconv.ParseFloat(percent, 64); err != nil {
			return t, usage("for example --late deduct=10", "--late %q: no number of per cent", text("late"))
		}
	}
	if err := t.Check(); err != nil {
		return t, usage("kilopond assign new --help says what each flag takes", "%w", err)
	}
	return t, nil
}
