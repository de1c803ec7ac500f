package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
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

// nearestOf offers the likeliest of several words, or lists them.
func nearestOf(word string, words []string) string {
	if near := scenarios.Nearest(word, words); near != "" {
		return "did you mean " + near + "?"
	}
	hint := "one of: "
	for i, w := range words {
		if i > 0 {
			hint += ", "
		}
		hint += w
	}
	return hint
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

// run does one command line and returns its exit code. Whatever a file or a name holds reaches the terminal as text.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	stdout, stderr = render.NewPlain(stdout), render.NewPlain(stderr)
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	var unsaid error // of a help that could not be printed
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { unsaid = writeHelp(c, c.OutOrStdout()) })
	err := errors.Join(root.ExecuteContext(ctx), unsaid)
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
	fmt.Fprintf(stderr, "error: %s\n", told(err))
	if hint == "" {
		hint = "kilopond help COMMAND says what a command takes"
		if p := new(fs.PathError); errors.As(err, &p) {
			hint = "look whether the name is right, and who may read and write there"
		}
		if errors.Is(err, syscall.ENOSPC) {
			hint = "make room on the disk, then give the same command again"
		}
	}
	fmt.Fprintf(stderr, "hint: %s\n", hint)
	return code
}

// unknownCommand turns cobra's words into ours and offers the nearest command.
func unknownCommand(root *cobra.Command, err error) (string, error) {
	var word string
	if _, scanErr := fmt.Sscanf(err.Error(), "unknown command %q", &word); scanErr != nil {
		return "kilopond --help lists the commands", err
	}
	hint := "kilopond --help lists the commands"
	if near := scenarios.Nearest(word, subcommands(root)); near != "" {
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
	root.SetFlagErrorFunc(flagWords)
	root.PersistentPreRunE = nothingEmpty
	root.SetHelpCommand(newHelp())
	root.AddCommand(newDrill(), newDemo(), newEstimate(), newFormula(), newBranch(), newGrade(), newBoard(), newClass(), newAgreement(), newPopulation(), newTrace(), newTrials(), newFidelity(), newVerify(), newSkill(), newCase(), newRulebook(), newSchema(), newAssign(), newWorksheet(), newVersion())
	newCompletion(root)
	addExamples(root)
	return root
}
