package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

// Exit codes.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// A usageError is wrong usage: nothing was done, and nothing was written to stdout.
type usageError struct {
	err  error
	hint string
}

func (u *usageError) Error() string { return u.err.Error() }
func (u *usageError) Unwrap() error { return u.err }

func usage(hint, format string, args ...any) error {
	return &usageError{fmt.Errorf(format, args...), hint}
}

// A hinted error is a failure with what to do about it.
type hinted struct {
	err  error
	hint string
}

func (h *hinted) Error() string { return h.err.Error() }
func (h *hinted) Unwrap() error { return h.err }

// errReported is a failure of which everything has been said.
var errReported = errors.New("reported")

// run does one command line and returns its exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil || errors.Is(err, syscall.EPIPE) {
		return exitDone
	}
	if errors.Is(err, errReported) {
		return exitFailed
	}
	code, hint := exitFailed, ""
	var u *usageError
	var h *hinted
	switch {
	case errors.As(err, &u):
		code, hint = exitUsage, u.hint
	case errors.As(err, &h):
		hint = h.hint
	case strings.HasPrefix(err.Error(), "unknown command"):
		code = exitUsage
		hint, err = unknownCommand(root, err)
	}
	fmt.Fprintf(stderr, "error: %v\n", err)
	if hint != "" {
		fmt.Fprintf(stderr, "hint: %s\n", hint)
	}
	return code
}

// unknownCommand turns cobra's words into ours and offers the nearest command.
func unknownCommand(root *cobra.Command, err error) (string, error) {
	var word string
	if _, scanErr := fmt.Sscanf(err.Error(), "unknown command %q", &word); scanErr != nil {
		return "kilopond --help lists the commands", err
	}
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	hint := "kilopond --help lists the commands"
	if near := scenarios.Nearest(word, names); near != "" {
		hint = "did you mean kilopond " + near + "?"
	}
	return hint, fmt.Errorf("%q is not a command", word)
}

func newRoot() *cobra.Command {
	cobra.MousetrapHelpText = "" // a double click must not end in a notice
	root := &cobra.Command{
		Use:   "kilopond",
		Short: "Proctor a submaximal cycle test on a synthetic subject",
		Long: "Kilopond brings you a synthetic subject for a branching submaximal cycle test: screen, measure, set the load, decide, stop,\n" +
			"cool down, calculate. It judges each decision by what you could know, and works the calculation on your own readings.\n\n" + render.Caution,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage("kilopond "+c.Name()+" --help lists the flags", "%s: %v", c.Name(), err)
	})
	root.AddCommand(newDrill(), newDemo(), newEstimate(), newFormula(), newBranch(), newGrade(), newBoard(), newClass(), newAgreement(), newPopulation(), newTrace(), newTrials(), newFidelity(), newVerify(), newSkill(), newCase(), newRulebook(), newSchema(), newAssign(), newWorksheet(), newVersion())
	return root
}

// args wraps a check of the argument count so that it counts as wrong usage.
func args(check cobra.PositionalArgs, hint string) cobra.PositionalArgs {
	return func(c *cobra.Command, given []string) error {
		if err := check(c, given); err != nil {
			return usage(hint, "%s: %v", c.CommandPath(), err)
		}
		return nil
	}
}
