package main

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"strconv"
	"strings"
	"syscall"
	"unicode"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kilopond/scenarios"
)

// plainError says in plain words what the system answered, without the name of the call and the path.
func plainError(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	for _, e := range []struct {
		is   error
		says string
	}{
		{fs.ErrNotExist, "no such file or folder"},
		{fs.ErrExist, "exists already"},
		{syscall.EROFS, "this disk can only be read"},
		{fs.ErrPermission, "you may not do that: look who may read and write it"},
		{syscall.EISDIR, "a folder, not a file"},
		{syscall.ENOTDIR, "a part of this path is no folder"},
		{syscall.ELOOP, "a link that leads in a circle"},
		{syscall.ENOSPC, "the disk is full"},
		{syscall.ENAMETOOLONG, "the name is too long"},
		{syscall.EIO, "the disk reports a fault"},
	} {
		if errors.Is(err, e.is) {
			return e.says
		}
	}
	return err.Error()
}

// told is what a person reads of an error: no calls of the system, and nothing that could turn a terminal about.
func told(err error) string {
	text := err.Error()
	var walk func(error)
	walk = func(err error) {
		if p, ok := err.(*fs.PathError); ok { //nolint:errorlint // each link of the chain is looked at in turn
			plain := p.Path + ": " + plainError(p)
			text = strings.ReplaceAll(text, p.Path+": "+p.Error(), plain)
			text = strings.ReplaceAll(text, p.Error(), plain)
		}
		switch u := err.(type) { //nolint:errorlint // as above
		case interface{ Unwrap() error }:
			if next := u.Unwrap(); next != nil {
				walk(next)
			}
		case interface{ Unwrap() []error }:
			for _, next := range u.Unwrap() {
				walk(next)
			}
		}
	}
	walk(err)
	return legible(text)
}

// csvWords says where a CSV file cannot be read on, to stand behind its name.
func csvWords(err error) string {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return ", line " + strconv.Itoa(p.Line) + ": a quotation mark stands where none can, or is never closed"
	}
	return ": " + plainError(err)
}

// legible writes what cannot be printed as its number. Lines and tabs stay.
func legible(text string) string {
	if strings.IndexFunc(text, unprintable) < 0 {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if unprintable(r) {
			quoted := strconv.QuoteRuneToASCII(r)
			b.WriteString(quoted[1 : len(quoted)-1])
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func unprintable(r rune) bool {
	return r != '\n' && r != '\t' && (r == unicode.ReplacementChar || !unicode.IsGraphic(r))
}

// flagWords puts what the library says of a flag into our words.
func flagWords(c *cobra.Command, err error) error {
	help := c.CommandPath() + " --help lists what can be given"
	var unknown *pflag.NotExistError
	var noValue *pflag.ValueRequiredError
	var value *pflag.InvalidValueError
	var syntax *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			return usage(help, "%s: there is no -%s", c.CommandPath(), name)
		}
		if near := scenarios.Nearest(name, flagNames(c)); near != "" {
			help = "did you mean --" + near + "?"
		}
		return usage(help, "%s: there is no --%s", c.CommandPath(), name)
	case errors.As(err, &noValue):
		return usage(help, "%s: --%s needs a value", c.CommandPath(), noValue.GetSpecifiedName())
	case errors.As(err, &value):
		why := value.Unwrap()
		if value.GetFlag().Value.Type() == "bool" {
			why = errors.New("takes no value")
		}
		return usage(help, "--%s %q: %v", value.GetFlag().Name, value.GetValue(), why)
	case errors.As(err, &syntax):
		return usage(help, "%s: %q: no flag looks like that", c.CommandPath(), syntax.GetSpecifiedFlag())
	}
	return usage(help, "%s: %v", c.CommandPath(), err)
}

func flagNames(c *cobra.Command) (names []string) {
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	return names
}

func subcommands(c *cobra.Command) (names []string) {
	for _, s := range c.Commands() {
		names = append(names, s.Name())
	}
	return names
}

// args wraps a check of what stands after a command, so that it counts as wrong usage and is told in our words.
func args(check cobra.PositionalArgs, hint string) cobra.PositionalArgs {
	return func(c *cobra.Command, given []string) error {
		if check(c, given) == nil {
			return nil
		}
		if len(given) > 0 && c.HasAvailableSubCommands() && check(c, nil) == nil {
			if near := scenarios.Nearest(given[0], subcommands(c)); near != "" {
				hint = "did you mean " + c.CommandPath() + " " + near + "?"
			}
			return usage(hint, "%s: there is no %q", c.CommandPath(), given[0])
		}
		for n := len(given) - 1; n >= 0; n-- {
			if check(c, given[:n]) == nil {
				return usage(hint, "%s: %q is one too many", c.CommandPath(), given[n])
			}
		}
		return usage(hint, "%s: something is missing behind it", c.CommandPath())
	}
}
