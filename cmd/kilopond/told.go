package main

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kilopond/cmd/internal/render"
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
	return render.Legible(text)
}

// csvWords says where a CSV file cannot be read on, to stand behind its name.
func csvWords(err error) string {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return ", line " + strconv.Itoa(p.Line) + ": a quotation mark stands where none can, or is never closed"
	}
	return ": " + plainError(err)
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
		if near := scenarios.Nearest(name, flagNames(c)); name == "version" {
			help = "kilopond version prints it"
		} else if near != "" {
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

// nothingEmpty refuses an empty word for a flag or a name, as an unset variable of a shell leaves it: with it --continue would begin anew. Answers to
// the questions of new files may be empty.
func nothingEmpty(c *cobra.Command, given []string) (err error) {
	if strings.HasPrefix(c.Name(), "__") { // the shell asks what might come next
		return nil
	}
	const hint = "leave it out, or look whether a variable of the shell is empty"
	if slices.Contains(given, "") {
		return usage(hint, "%s: an empty word stands where a name belongs", c.CommandPath())
	}
	if c.Name() == "new" && c.Parent().Name() != "assign" {
		return nil
	}
	c.Flags().Visit(func(f *pflag.Flag) {
		if text := f.Value.String(); err == nil && (text == "" || text == "[]") {
			err = usage(hint, "--%s: nothing stands behind it", f.Name)
		}
	})
	return err
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
