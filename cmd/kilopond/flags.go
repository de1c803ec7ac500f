package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// addFormat adds --format.
func addFormat(c *cobra.Command) {
	c.Flags().String("format", string(render.Text), "table, markdown, csv or json")
	must(c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(render.Formats(), cobra.ShellCompDirectiveNoFileComp)))
}

// must panics on a fault that only a wrong line in this program can cause.
func must(err error) {
	if err != nil {
		panic("kilopond: " + err.Error())
	}
}

func format(c *cobra.Command) (render.Format, error) {
	f, err := c.Flags().GetString("format")
	must(err)
	if !slices.Contains(render.Formats(), f) {
		return "", usage("one of: "+strings.Join(render.Formats(), ", "), "--format %q: not a format", f)
	}
	return render.Format(f), nil
}

// addRules adds --rulebook and --set.
func addRules(c *cobra.Command) {
	c.Flags().String("rulebook", "", "house rules: the name of one that ships, or a file")
	c.Flags().StringArray("set", nil, "change one rule: PATH=VALUE, as rulebook show prints it (may be repeated)")
}

// rules returns the rulebook that the flags ask for.
func rules(c *cobra.Command) (grader.Rulebook, error) {
	name, err := c.Flags().GetString("rulebook")
	must(err)
	return rulesOf(c, name)
}

// formatAndRules are what most commands ask for first.
func formatAndRules(c *cobra.Command) (render.Format, grader.Rulebook, error) {
	f, err := format(c)
	if err != nil {
		return f, grader.Rulebook{}, err
	}
	b, err := rules(c)
	return f, b, err
}

// rulesOf returns a rulebook with what --set changes.
func rulesOf(c *cobra.Command, name string) (grader.Rulebook, error) {
	sets, err := c.Flags().GetStringArray("set")
	must(err)
	b, err := loadRulebook(name)
	if err != nil {
		return b, err
	}
	if err := b.SetAll(sets); err != nil {
		return b, usage("kilopond rulebook show lists every path with its value", "%w", err)
	}
	return b, nil
}

// loadRulebook reads a rulebook that ships, or a file; without a name it is the one in force when none is asked for.
func loadRulebook(name string) (grader.Rulebook, error) {
	if name == "" {
		return grader.Default(), nil
	}
	b, err := grader.Preset(name)
	if err == nil {
		return b, nil
	}
	data, err := rulebookFile(name, err)
	if err != nil {
		return b, err
	}
	b, err = grader.DecodeRulebook(name, data)
	if err != nil {
		return b, usage("each line above says what and where", "the rulebook cannot be used:\n%w", err)
	}
	return b, nil
}

// givenAgain is the flags of those names as they were given, each with a blank before it: for a command that is to be typed next.
func givenAgain(c *cobra.Command, names ...string) string {
	var all strings.Builder
	for _, name := range names {
		f := c.Flags().Lookup(name)
		if f == nil || !f.Changed {
			continue
		}
		values := []string{f.Value.String()}
		if list, ok := f.Value.(interface{ GetSlice() []string }); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			fmt.Fprintf(&all, " --%s %s", name, quoted(v))
		}
	}
	return all.String()
}

// quoted is a word as it is typed at a shell.
func quoted(word string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("_-./:=,+%@", r)
	}
	if word != "" && !strings.ContainsFunc(word, func(r rune) bool { return !plain(r) }) {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// rulebookFile reads a rulebook of one's own, of whose name err says that none ships under it.
func rulebookFile(name string, err error) ([]byte, error) {
	if _, gone := os.Stat(name); errors.Is(gone, fs.ErrNotExist) {
		return nil, usage("kilopond rulebook list names those that ship; else give a file", "%w, and no such file", err)
	}
	return readSmall(name, scenarios.MaxFile)
}

// addSeed adds --seed.
func addSeed(c *cobra.Command) {
	c.Flags().String("seed", "", "which person of the case: a whole number, the same one for the same person")
}

// seed returns the seed that was given; ok is false when none was.
func seed(c *cobra.Command) (s scenarios.Seed, ok bool, err error) {
	text, err := c.Flags().GetString("seed")
	must(err)
	if !c.Flags().Changed("seed") {
		return 0, false, nil
	}
	s, err = scenarios.ParseSeed(text)
	if err != nil {
		return 0, false, usage("for example --seed 7", "--%w", err)
	}
	return s, true, nil
}

// loadCase reads a case of the library.
func loadCase(id string) (scenarios.Case, error) {
	c, err := scenarios.Load(id)
	if errors.Is(err, scenarios.ErrNoCase) {
		if ext := filepath.Ext(id); ext == ".yaml" || ext == ".yml" {
			return c, usage("a file of your own goes by its id and its folder: "+fromFolder(id), "%w", err)
		}
		return c, usage("kilopond case list names the cases", "%w", err)
	}
	return c, err
}

func completeCases(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
	return scenarios.IDs(), cobra.ShellCompDirectiveNoFileComp
}

// finite refuses what is no number, and what is out of range.
func finite(flag string, x, low, high float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) || x < low || x > high {
		return usage(fmt.Sprintf("a number from %v to %v", low, high), "--%s %v: out of range", flag, x)
	}
	return nil
}

// sex reads M, F, male or female.
func sex(text string) (unit.Sex, error) {
	if s, ok := unit.ParseSex(text); ok {
		return s, nil
	}
	return "", usage("M or F (or male, female)", "--sex %q: norms and equations are published for two", text)
}
