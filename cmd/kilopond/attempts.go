package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// readAttempt reads an attempt's file; what does not hold is an error that names the line.
func readAttempt(path string) (*exercises.Attempt, error) { return handIn{path: path}.attempt() }

// attempt is what was handed in; what does not hold is an error that names the line.
func (f handIn) attempt() (*exercises.Attempt, error) {
	data, err := f.bytes()
	if err != nil {
		return nil, err
	}
	a := exercises.Read(data)
	if a.Damage != nil {
		return a, fmt.Errorf("%s: %w", f.path, a.Damage)
	}
	return a, nil
}

// unread says what to do about an attempt that cannot be read.
func unread(err error) error {
	if errors.As(err, new(*exercises.Damage)) {
		return &hinted{err, "kilopond verify FILE says more; drill --continue goes on from what holds"}
	}
	return &hinted{err, "look whether the name is right"}
}

// mostAttempt bounds an attempt: one of an hour has less than 1 MB.
const mostAttempt = 64 << 20

// attemptBytes reads a file that may be an attempt.
func attemptBytes(path string) ([]byte, error) {
	if err := mayBeAttempt(path); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// mayBeAttempt refuses what cannot be an attempt before it is read.
func mayBeAttempt(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	refuse := func(why string) error {
		return &fs.PathError{Op: "read", Path: path, Err: errors.New(why)}
	}
	switch {
	case info.IsDir():
		return refuse("a folder, not an attempt")
	case !info.Mode().IsRegular():
		return refuse("not an ordinary file")
	case info.Size() > mostAttempt:
		return refuse(fmt.Sprintf("%d MB: too large to be an attempt", info.Size()>>20))
	}
	return nil
}

func newGrade() *cobra.Command {
	c := &cobra.Command{
		Use:   "grade [FILE|FOLDER…]",
		Short: "Judge an attempt and print the report, or a whole class at once",
		Long: "Judge an attempt and print its report. With a folder, or more than one file, judge a class: each file is checked line by line, played\n" +
			"again, and graded; then come a table by attempt and one by student. Whose a file is: the folder below the one given, else the file's name up\n" +
			"to its first dot (anna.1.jsonl, anna.2.jsonl). What is odd about a file is named in problems[] and after the tables; nobody is\n" +
			"convicted by it. When a file cannot be graded the others are, and the exit code is 1.\n\n" + problemKinds + "\n\n" + render.Caution,
		Args: filesOrDB("kilopond grade ATTEMPT.jsonl; the drill says where it keeps its file"),
	}
	c.Flags().String("long", "", "of a class: write a CSV file with a row for each rule in each attempt")
	c.Flags().String("wide", "", "of a class: write a CSV file with a row for each attempt and a column for each rule")
	c.Flags().String("due", "", `of a class: name files changed later than this, for example "2026-11-27 18:00"`)
	c.Flags().String("receipts", "", "of a class: a CSV file of receipts handed in before, key or code and receipt, to set beside the files")
	c.Flags().Bool("record", false, "of a class: note the marks in a log that is only added to, so that marks under other rules can be set beside them")
	c.Flags().String("log", "", "of a class: that log, instead of grades.jsonl in the folder")
	addFromDB(c)
	c.AddCommand(newGradeNote(), newGradeSheet())
	addRules(c)
	addFormat(c)
	addReportFiles(c)
	addKey(c)
	addCases(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		files, err := reportFilesOf(c)
		if err != nil {
			return err
		}
		if isClass(given) || dbFlag(c) != "" {
			return gradeClass(c, given, f, files)
		}
		if files.html != "" && files.html == files.pdf {
			return usage("give two names", "--html and --pdf both name %s", files.html)
		}
		for _, flag := range []string{"long", "wide", "due", "record", "log", "receipts"} {
			if c.Flags().Changed(flag) {
				return usage("give a folder, or several files", "--%s: for a class; this is one attempt", flag)
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
		if a.Header, err = released(key, wallClock(c), given[0], a); err != nil {
			return err
		}
		b, err := attemptRules(c, a.Header)
		if err != nil {
			return err
		}
		from, err := shelf(c)
		if err == nil {
			from, err = from.with(key)
		}
		if err != nil {
			return err
		}
		played, err := playedAgain(from, a)
		if err != nil {
			return &hinted{fmt.Errorf("%s: %w", given[0], err), "no report rests on readings that this subject did not give; kilopond verify FILE says the same"}
		}
		course, err := grader.Read(a.Header, a.Lines)
		if err != nil {
			return fmt.Errorf("%s: %w", given[0], err)
		}
		r := grader.Grade(b, course).WithSplit(b, course, played)
		o := render.OutlineOf(r)
		o.After("verdict", notedBeside(c, given[0], a.Last(), func() grader.Mark { return grader.MarkOf(b, course, nil) })...)
		if err := files.write(o); err != nil {
			return err
		}
		switch f {
		case render.Text, render.Markdown:
			return render.WriteOutline(c.OutOrStdout(), o)
		case render.CSV:
			return render.Write(c.OutOrStdout(), f, findingsTable(r), nil)
		}
		return render.WriteJSON(c.OutOrStdout(), r)
	}
	return c
}

// released says whether the report of an attempt may be seen: with the instructor's file, or when the pack lets it. It returns the first line with
// the rules that are in force for it: the assignment's.
func released(key *keyFile, at time.Time, path string, a *exercises.Attempt) (exercises.Header, error) {
	var out marked
	if m := (&marker{key: key, at: at}); !m.place(&out, a) {
		hint := "the instructor's own file says whose each attempt is: --key assignment.json"
		if p := a.Header.Pack; p != nil && key == nil {
			hint = "a student gets it from the instructor"
			if p.Report == exercises.ReportAfter {
				hint = "a student sees it from " + local(p.ReportFrom) + " on"
			}
		}
		return a.Header, &hinted{fmt.Errorf("%s: %s", path, out.problems[0].What), hint}
	}
	h := a.Header
	if key != nil {
		h.Rulebook = key.Rulebook
	}
	return h, nil
}

// playedAgain plays an attempt again where this program has its subject; else there is no session. The error names the first line that does not
// hold.
func playedAgain(from caseShelf, a *exercises.Attempt) (*exercises.Session, error) {
	if a.Header.Model != scenarios.Model {
		return nil, nil
	}
	sc, err := from.subjectOf(a.Header)
	if err != nil {
		return nil, nil // its case is not here, or is another one: verify says so
	}
	return exercises.Resimulate(a.Header, sc, a.Lines)
}

// openedReport is the report on a session that is over, as when it is opened by itself: with its margin T taken apart.
func openedReport(b grader.Rulebook, s *exercises.Session) grader.Report {
	course := grader.ReadState(b, s.State())
	return grader.Grade(b, course).WithSplit(b, course, s)
}

// attemptRules is the rulebook of the attempt, unless the flags ask for another.
func attemptRules(c *cobra.Command, h exercises.Header) (grader.Rulebook, error) {
	if c.Flags().Changed("rulebook") {
		return rules(c)
	}
	b, err := keptRules(h)
	if err != nil {
		return b, err
	}
	sets, err := c.Flags().GetStringArray("set")
	must(err)
	if err := b.SetAll(sets); err != nil {
		return b, usage("kilopond rulebook show lists every path with its value", "%w", err)
	}
	return b, nil
}

// keptRules is the rulebook that stands in an attempt.
func keptRules(h exercises.Header) (grader.Rulebook, error) {
	b, err := grader.FromJSON(h.Rulebook)
	if err != nil {
		return b, &hinted{err, "it was changed, or another version of the program made it; kilopond grade FILE --rulebook NAME judges by other rules"}
	}
	return b, nil
}

func findingsTable(r grader.Report) render.Table {
	t := render.Table{Header: []string{"rule", "part", "at_s", "where", "known", "did", "should", "points_lost", "charged_to"}, Wrap: -1}
	for _, f := range r.Findings {
		t.Rows = append(t.Rows, []string{f.Rule, string(f.Part), fmt.Sprint(f.AtS), f.Where, f.Known, f.Did, f.Should, fmt.Sprint(f.Lost), f.ChargedTo})
	}
	return t
}

// subjectOf draws the subject of an attempt again.
func (s caseShelf) subjectOf(h exercises.Header) (scenarios.Scenario, error) {
	c, err := s.caseOf(h)
	if err != nil {
		return scenarios.Scenario{}, err
	}
	return c.Draw(h.Seed), nil
}

// caseOf finds the case of an attempt by its bytes: in the library, among one's own, or in the pack that this machine keeps.
func (s caseShelf) caseOf(h exercises.Header) (scenarios.Case, error) {
	known, same := scenarios.Shipped(h.Case, h.CaseHash)
	if same {
		return scenarios.Load(h.Case)
	}
	for _, c := range slices.Concat(s.own, keptCases(h)) {
		if c.ID == h.Case && c.Hash == h.CaseHash {
			return c, nil
		}
		known = known || c.ID == h.Case
	}
	if known {
		return scenarios.Case{}, fmt.Errorf("case %s has changed since", h.Case)
	}
	return scenarios.Load(h.Case)
}
