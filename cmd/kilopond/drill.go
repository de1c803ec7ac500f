package main

import (
	crand "crypto/rand"
	"errors"
	"fmt"
	"io"
	"math/big"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"kilopond/cmd/internal/dialogue"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/filelog"
	"kilopond/grader"
	"kilopond/scenarios"
)

func newDrill() *cobra.Command {
	c := &cobra.Command{
		Use:   "drill [CASE]",
		Short: "Proctor a subject at the prompt; ends with the report",
		Long: "Proctor a subject at the prompt, or from a pipe; ends with the report. Without a case one is drawn. `help` at the prompt lists\n" +
			"what can be done. Leaving with Ctrl-D loses nothing: --continue goes on. With --pack and --as it is the next person of your course.\n\n" + render.Caution,
		Args:              args(cobra.MaximumNArgs(1), "kilopond drill uneventful --seed 7"),
		ValidArgsFunction: completeCases,
	}
	addCases(c)
	c.Flags().String("continue", "", "go on with the attempt in this file")
	c.Flags().String("redo", "", "the person of this attempt again, from the minute before its costliest mistake; practice")
	c.Flags().String("at", "", "with --redo: from this time of the report instead, as 22:03")
	c.Flags().String("out", "", "keep the attempt in this file, which must not exist")
	c.Flags().Bool("coach", false, "say at each prompt what is due and why; such an attempt is practice")
	c.Flags().Bool("live", false, "let the clock run: waiting is real, and thinking counts")
	decimalFlag(c.Flags(), "speed", 1, "with --live: how much faster than life the clock runs, 1 to 20")
	c.Flags().String("beats", "marks", "marks, or list: beats and sounds as lists of times, for a screen reader")
	addPack(c)
	addSeed(c)
	addRules(c)
	c.RunE = drill
	return c
}

func drill(c *cobra.Command, given []string) error {
	beats, err := c.Flags().GetString("beats")
	must(err)
	if beats != "marks" && beats != "list" {
		return usage("marks or list", "--beats %q: not a way to show beats", beats)
	}
	speed, err := speed(c)
	if err != nil {
		return err
	}
	sitting, err := openSitting(c, given)
	if err != nil {
		return err
	}
	err = sitting.play(c, beats == "list", speed)
	return errors.Join(err, sitting.log.Close())
}

// fastest is the fastest clock: a count of 15 s then takes less than a second.
const fastest = 20

// speed is how much faster than life the clock of a live drill runs.
func speed(c *cobra.Command) (float64, error) {
	x, err := c.Flags().GetFloat64("speed")
	must(err)
	live, err := c.Flags().GetBool("live")
	must(err)
	if c.Flags().Changed("speed") && !live && !c.Flags().Changed("continue") {
		return 0, usage("kilopond drill --live --speed 4", "--speed: only a live drill has a clock that runs")
	}
	return x, finite("speed", x, 1, fastest)
}

// A sitting is one student at one attempt's file.
type sitting struct {
	log     *filelog.File
	session *exercises.Session
	book    grader.Rulebook
	lines   int
	before  []exercises.Command // of earlier sittings
	resumed bool
	pack    *packSitting // nil: practice
}

// live is the mode of an attempt in which the clock ran; in any other, time passed by commands only.
const live = "live"

// openSitting begins an attempt or goes on with one. A folder that cannot be written to is known here, before the test begins.
func openSitting(c *cobra.Command, given []string) (*sitting, error) {
	if c.Flags().Changed("pack") || c.Flags().Changed("as") || c.Flags().Changed("again") {
		return openPack(c, given)
	}
	resume, err := c.Flags().GetString("continue")
	must(err)
	again, err := c.Flags().GetString("redo")
	must(err)
	if again != "" {
		return redo(c, given, again)
	}
	if c.Flags().Changed("at") {
		return nil, usage("kilopond drill --redo FILE --at 22:03", "--at: belongs to --redo")
	}
	if resume != "" {
		if len(given) > 0 || c.Flags().Changed("seed") || c.Flags().Changed("rulebook") || c.Flags().Changed("set") || c.Flags().Changed("out") {
			return nil, usage("kilopond drill --continue FILE, with nothing else but --coach, --live, --speed and --beats", "--continue: the case, seed and rules are those of the attempt")
		}
		return goOn(c, resume)
	}
	b, err := rules(c)
	if err != nil {
		return nil, err
	}
	s, ok, err := seed(c)
	if err != nil {
		return nil, err
	}
	if !ok {
		s = randomSeed()
	}
	sc, err := chooseSubject(c, given, s)
	if err != nil {
		return nil, err
	}
	mode, coached := manner(c)
	h := exercises.NewHeader(sc, b.JSON(), b.Hash(), mode, coached)
	log, err := newFile(c, h)
	if err != nil {
		return nil, err
	}
	return &sitting{log: log, session: exercises.Begin(h, sc), book: b}, nil
}

// manner is whether the clock runs, and whether a coach stands by.
func manner(c *cobra.Command) (mode string, coached bool) {
	coached, err := c.Flags().GetBool("coach")
	must(err)
	if c.Flags().Changed("live") {
		return live, coached
	}
	return "drill", coached
}

// newFile begins the file in which an attempt is kept.
func newFile(c *cobra.Command, h exercises.Header) (*filelog.File, error) {
	path, err := attemptPath(c)
	if err != nil {
		return nil, err
	}
	log, err := filelog.Create(path, h)
	if errors.Is(err, os.ErrExist) {
		return nil, &hinted{fmt.Errorf("%s: exists already; nothing is overwritten", path), "give another name, or go on with it by --continue"}
	}
	if err != nil {
		return nil, &hinted{fmt.Errorf("the attempt cannot be kept: %w", err), "give a file in a folder that can be written to: --out FILE"}
	}
	return log, nil
}

// goOn opens an attempt again where it was left. What holds of a damaged one goes on in a file beside it, which is made only when it can go on.
func goOn(c *cobra.Command, path string) (*sitting, error) {
	if err := mayBeAttempt(path); err != nil {
		return nil, &hinted{err, "look whether the name is right"}
	}
	log, a, err := filelog.Continue(path)
	var d *exercises.Damage
	switch {
	case errors.Is(err, exercises.ErrLocked):
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "close the other window first"}
	case errors.As(err, &d):
		return nil, &hinted{fmt.Errorf("%s: nothing in it can be used: %w", path, err), "begin another with kilopond drill"}
	case err != nil:
		return nil, err
	}
	closed := func() error {
		err := log.Close()
		if log.Path() != path {
			err = errors.Join(err, os.Remove(log.Path()))
		}
		return err
	}
	fail := func(err error, hint string) (*sitting, error) {
		return nil, &hinted{errors.Join(err, closed()), hint}
	}
	if a.Header.Pack != nil && !c.Flags().Changed("pack") {
		return fail(fmt.Errorf("%s: belongs to a pack", path), "kilopond drill --pack FILE --as CODE goes on with it")
	}
	if a.Closed() {
		return fail(fmt.Errorf("%s: handed in already", path), "kilopond grade FILE prints its report")
	}
	if a.Header.Model != scenarios.Model {
		return fail(fmt.Errorf("%s: begun with model %d; this program has %d, whose subjects differ", path, a.Header.Model, scenarios.Model), "it is kept; go on with the program that began it")
	}
	from, err := shelf(c)
	if err != nil {
		return fail(err, "the attempt is kept")
	}
	sc, err := from.subjectOf(a.Header)
	if errors.Is(err, scenarios.ErrNoCase) {
		return fail(err, "the attempt is kept; --cases names the folder that its case is in")
	}
	if err != nil {
		return fail(err, "the attempt is kept; its case has changed since")
	}
	session, err := exercises.Resimulate(a.Header, sc, a.Lines)
	if a.Damage != nil {
		d = a.Damage
	}
	if later := new(exercises.Damage); a.Damage != nil && errors.As(err, &later) && later.Line > 1 {
		// A line that was changed breaks the chain at the line after it, so that the last line before the break may be the one.
		d = later
		if err := closed(); err != nil {
			return nil, err
		}
		a.Lines, a.Raw = a.Lines[:d.Line-2], a.Raw[:d.Line-1]
		if log, err = filelog.Beside(path, a.Raw); err != nil {
			return nil, &hinted{fmt.Errorf("%s: %w", path, err), "the old file stays as it is"}
		}
		session, err = exercises.Resimulate(a.Header, sc, a.Lines)
	}
	if err != nil {
		return fail(fmt.Errorf("%s: %w", path, err), "kilopond verify FILE says what does not hold")
	}
	b, err := grader.FromJSON(a.Header.Rulebook)
	if err != nil {
		return fail(err, "the attempt is kept")
	}
	if coached, err := c.Flags().GetBool("coach"); err == nil && coached && !a.Header.Coached {
		return fail(fmt.Errorf("%s: begun alone, and a coach cannot join", path), "go on without --coach, or begin another with it")
	}
	if a.Header.Mode != live && (c.Flags().Changed("live") || c.Flags().Changed("speed")) {
		return fail(fmt.Errorf("%s: begun without a clock that runs", path), "go on without --live and --speed, or begin another with them")
	}
	if d != nil {
		c.PrintErrf("note: %s: %s\nnote: what holds before that goes on in %s; the old file stays as it is\n", path, told(d), log.Path())
	}
	s := &sitting{log: log, session: session, book: b, lines: len(a.Lines), resumed: true}
	for _, l := range a.Lines {
		s.before = append(s.before, l.Command)
	}
	return s, nil
}

// play holds the dialogue, and prints the report when the sheet has been handed in.
func (s *sitting) play(c *cobra.Command, list bool, speed float64) error {
	o := dialogue.Options{
		Session: s.session,
		Append: func(l exercises.Line) error {
			l.WallS = s.pack.wallS()
			_, err := s.log.Append(s.lines, l)
			if err == nil {
				s.lines++
			}
			return err
		},
		Rules:  numberedRules(s.book),
		List:   list,
		Echo:   !isTerminal(c),
		Resume: s.resumed,
	}
	if s.session.State().Header.Mode == live {
		o.Live = &dialogue.Live{Clock: dialogue.WallClock(), Speed: speed, Before: s.before, Running: movable(c) && !list, Ease: s.pack.ease()}
	}
	if s.session.State().Header.Coached {
		o.Coach = coach(s.book, s.session.Subject().Case)
	}
	var out io.Writer = render.NewNarrow(c.OutOrStdout())
	if f, ok := render.Terminal(out); ok && o.Live != nil {
		out = f // the clock that is seen moves the cursor
	}
	err := dialogue.Run(c.Context(), c.InOrStdin(), out, o)
	if errors.Is(err, dialogue.ErrLeft) {
		c.PrintErrf("kept: %s\ngo on: kilopond drill %s%s\n", s.log.Path(), s.pack.goOn(s.log.Path()), givenAgain(c, "cases", "beats", "speed"))
		return nil
	}
	if err != nil {
		return &hinted{err, "what was acknowledged before is kept in " + s.log.Path()}
	}
	if s.pack != nil {
		return s.handedIn(c)
	}
	verdict := openedReport(s.book, s.session)
	report := render.OutlineOf(verdict)
	report.With(givenAgain(c, "cases", "beats"), givenAgain(c, "cases", "rulebook", "set", "beats"), givenAgain(c, "rulebook", "set", "beats"))
	if err := render.WriteOutline(c.OutOrStdout(), report); err != nil {
		return err
	}
	c.PrintErrf("kept: %s\nthe report as a page or on paper: kilopond grade %s%s --html report.html --pdf report.pdf\n", s.log.Path(), quoted(s.log.Path()), givenAgain(c, "cases"))
	if verdict.Practise != nil {
		c.PrintErrf("from the minute before the costliest mistake: kilopond drill --redo %s%s\n", quoted(s.log.Path()), givenAgain(c, "cases", "beats"))
	}
	return nil
}

func isTerminal(c *cobra.Command) bool {
	f, ok := c.InOrStdin().(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// movable says whether the output is a terminal on which the cursor can be moved.
func movable(c *cobra.Command) bool {
	_, ok := render.Terminal(c.OutOrStdout())
	return ok && isTerminal(c) && runtime.GOOS != "windows" && os.Getenv("TERM") != "dumb" && os.Getenv("TERM") != ""
}

// randomSeed is a seed for somebody nobody has met.
func randomSeed() scenarios.Seed {
	n, err := crand.Int(crand.Reader, big.NewInt(int64(scenarios.MaxSeed)+1))
	must(err)
	return scenarios.Seed(n.Uint64())
}

// chooseSubject draws the subject of the named case, or of one that the seed picks.
func chooseSubject(c *cobra.Command, given []string, s scenarios.Seed) (scenarios.Scenario, error) {
	id := ""
	if len(given) == 1 {
		id = given[0]
	} else {
		ids := scenarios.IDs()
		id = ids[s.Stream("case").IntN(len(ids))]
	}
	from, err := shelf(c)
	if err != nil {
		return scenarios.Scenario{}, err
	}
	one, err := from.load(id)
	if err != nil {
		return scenarios.Scenario{}, err
	}
	return one.Draw(s), nil
}

// attemptPath is --out, or a new name in the user's data folder.
func attemptPath(c *cobra.Command) (string, error) {
	out, err := c.Flags().GetString("out")
	must(err)
	if out != "" {
		return out, nil
	}
	base := os.Getenv("XDG_DATA_HOME")
	if base == "" {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", &hinted{fmt.Errorf("no place to keep the attempt: %w", err), "give one: --out FILE"}
		}
		base = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(base, "kilopond", "attempts", strings.ToLower(crand.Text()[:16])+".jsonl"), nil
}
