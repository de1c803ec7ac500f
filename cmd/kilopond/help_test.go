package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// everyCommand calls f for each command that a person can type.
func everyCommand(c *cobra.Command, f func(*cobra.Command)) {
	f(c)
	for _, s := range c.Commands() {
		everyCommand(s, f)
	}
}

// Every help fits the place and leaves no flag and no command out.
func TestHelpFitsThePlace(t *testing.T) {
	for _, width := range []int{60, 80, 200} {
		t.Setenv("COLUMNS", fmt.Sprint(width))
		everyCommand(newRoot(), func(c *cobra.Command) {
			if strings.HasPrefix(c.CommandPath(), "kilopond completion ") {
				return // the library's own words
			}
			text, errs, code := kilopond(t, "", append(strings.Fields(c.CommandPath())[1:], "--help")...)
			if code != 0 || errs != "" {
				t.Errorf("%s: exit %d: %s", c.CommandPath(), code, errs)
			}
			for _, line := range strings.Split(text, "\n") {
				if n := utf8.RuneCountInString(line); n > min(width, widestHelp) && strings.Contains(strings.TrimSpace(line), " ") && !strings.Contains(c.Long, line) {
					t.Errorf("%s, %d columns: %d wide: %s", c.CommandPath(), width, n, line)
				}
			}
			for _, s := range c.Commands() {
				if s.IsAvailableCommand() && !strings.Contains(text, "\n  "+s.Name()+" ") {
					t.Errorf("%s: its help does not name %s", c.CommandPath(), s.Name())
				}
			}
			c.Flags().VisitAll(func(f *pflag.Flag) {
				if !f.Hidden && !strings.Contains(text, "\n  --"+f.Name) {
					t.Errorf("%s: its help does not name --%s", c.CommandPath(), f.Name)
				}
			})
		})
	}
}

func TestALongExampleIsBrokenAsAShellLetsIt(t *testing.T) {
	const typed = `  kilopond formula estimate stages_kgm_min="300:112 450:127" max_hr=220-age age_y=40`
	for width := 30; width < 100; width++ {
		lines := continued(typed, width)
		if got := strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(lines, "\n"), "\\\n", "")), " "); got != strings.TrimSpace(typed) {
			t.Errorf("%d columns: a shell reads %s", width, got)
		}
		for _, line := range lines {
			if strings.Count(line, `"`)%2 != 0 {
				t.Errorf("%d columns: broken within a quotation: %s", width, line)
			}
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// A help that cannot be printed is a failure as any other.
func TestHelpOnAFullDiskFails(t *testing.T) {
	for _, typed := range [][]string{{"--help"}, {"help", "drill"}, {"trials", "-h"}} {
		if code := run(context.Background(), typed, strings.NewReader(""), fullDisk{}, io.Discard); code != exitFailed {
			t.Errorf("%v: exit %d, want %d", typed, code, exitFailed)
		}
	}
}
