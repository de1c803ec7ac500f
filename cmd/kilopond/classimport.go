package main

import (
	"errors"
	"fmt"
	"os"
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/sqllog"
	"kilopond/grader/inorder"
)

// An importResult is the machine-readable result of class import.
type importResult struct {
	DB       string        `json:"db"`
	Files    []importedRow `json:"files"`
	Attempts int           `json:"attempts_in_class"`
}

// notTaken is the outcome of a file that stays outside.
const notTaken = "not taken in"

// An importedRow is one file with what became of it.
type importedRow struct {
	File    string   `json:"file"`
	Student string   `json:"student"` // by the file's place
	Outcome string   `json:"outcome"`
	Place   string   `json:"place"` // in the class; empty when it was not taken in
	Lines   int      `json:"lines_new"`
	CutOff  bool     `json:"cut_off"`
	SameAs  []string `json:"same_as"`
	Line    *int     `json:"line"` // that does not hold
	What    string   `json:"what"`
	moved   bool     // it stands elsewhere in the class than its file's name says
}

func newClassImport() *cobra.Command {
	c := &cobra.Command{
		Use:   "import FILE|FOLDER…",
		Short: "Take attempts into the class file",
		Long: "Take attempts into the class: each file whole or not at all, also when the program is killed. Whose a file is, is as for grade: the\n" +
			"folder below the one given, else the file's name up to its first dot. The same command may be given again: what is there already is passed\n" +
			"over, and a file that has grown since adds its new lines. A file that does not hold is named and stays outside; the others are\n" +
			"taken in, and the exit code is 1. A class file is made when it is not there.\n\n" + render.Caution,
		Args: args(cobra.MinimumNArgs(1), "kilopond class import FOLDER --db "+classFile),
	}
	addDB(c)
	addFormat(c)
	c.RunE = classImport
	return c
}

func classImport(c *cobra.Command, given []string) (err error) {
	f, err := format(c)
	if err != nil {
		return err
	}
	for _, path := range given {
		if _, err := os.Stat(path); err != nil {
			return usage("a folder of attempts, or a file of one", "class import: %w", err)
		}
	}
	s, err := openClass(c, true)
	if err != nil {
		return err
	}
	defer closing(s, &err)
	r := importResult{DB: s.Name(), Files: []importedRow{}}
	seen := sqllog.Files(s.Name())
	for _, root := range given {
		files, _, problems := handIns([]string{root}, seen)
		for _, p := range problems {
			r.Files = append(r.Files, importedRow{File: p.File, Outcome: notTaken, SameAs: []string{}, What: p.What})
		}
		for _, x := range files {
			seen = append(seen, x.path)
		}
		err := inorder.Each(c.Context(), len(files), func(i int) (checkedFile, error) { return checked(files[i]), nil }, func(i int, x checkedFile) error {
			err := x.takeIn(c, s, root)
			r.Files = append(r.Files, x.row)
			return err
		})
		if err != nil {
			n := len(r.Files) - r.count(notTaken)
			return &hinted{inWords(err), hintOf(inWords(err)) + fmt.Sprintf("; %d of the files are in the class, and the same command goes on from there", n)}
		}
	}
	held, err := s.Held(c.Context())
	if err != nil {
		return inWords(err)
	}
	r.Attempts = len(held)
	if err := r.write(c, f); err != nil {
		return err
	}
	return r.said(c)
}

// hintOf is what to do about an error.
func hintOf(err error) string {
	var h *hinted
	if errors.As(err, &h) {
		return h.hint
	}
	return "what was not finished was taken back"
}

// A checkedFile is a file that was read and may be taken in; attempt is nil when it does not hold, and the row says why.
type checkedFile struct {
	handIn
	row     importedRow
	attempt *exercises.Attempt
}

func checked(x handIn) checkedFile {
	out := checkedFile{handIn: x, row: importedRow{File: x.path, Student: x.owner, Outcome: notTaken, SameAs: []string{}}}
	data, err := x.bytes()
	if err != nil {
		out.row.What = plainError(err)
		return out
	}
	var d *exercises.Damage
	if out.attempt, err = sqllog.Check(data); errors.As(err, &d) {
		out.row.Line, out.row.What = &d.Line, d.Why
		if d.Line == 1 {
			out.row.What = notAnAttempt(d)
		}
	}
	return out
}

// takeIn takes one file in, when it holds. An error is one of the class.
func (x *checkedFile) takeIn(c *cobra.Command, s *sqllog.Store, root string) error {
	if x.attempt == nil {
		return nil
	}
	at := sqllog.Place{Name: placeOf(root, x.path), Owner: x.owner}
	got, err := s.Take(c.Context(), at, x.attempt, x.changed.UnixMilli())
	if err != nil {
		return fmt.Errorf("%s: %w", x.path, err)
	}
	row := &x.row
	row.Outcome, row.Place, row.Lines, row.CutOff = string(got.Outcome), got.Place, got.Lines, got.CutOff
	row.moved = got.Place != at.Name
	row.SameAs = append(row.SameAs, got.Others...)
	return nil
}

func (r importResult) count(outcome string) int {
	n := 0
	for _, x := range r.Files {
		if x.Outcome == outcome {
			n++
		}
	}
	return n
}

// write prints a row for each outcome where people read, and one for each file where programs do.
func (r importResult) write(c *cobra.Command, f render.Format) error {
	w := c.OutOrStdout()
	if f == render.CSV || f == render.JSON {
		t := render.Table{Wrap: -1, Header: []string{"file", "student", "outcome", "place", "lines_new", "cut_off", "line", "what"}}
		for _, x := range r.Files {
			line := ""
			if x.Line != nil {
				line = strconv.Itoa(*x.Line)
			}
			t.Rows = append(t.Rows, []string{harmless(x.File), harmless(x.Student), x.Outcome, harmless(x.Place), strconv.Itoa(x.Lines), yesNo(x.CutOff), line, x.What})
		}
		return render.Write(w, f, t, r)
	}
	t := render.Table{Header: []string{"", "files", "lines"}, Right: []bool{false, true, true}, Wrap: -1}
	for _, o := range []string{string(sqllog.Added), string(sqllog.Grown), string(sqllog.Known), string(sqllog.Older), notTaken} {
		lines := 0
		for _, x := range r.Files {
			if x.Outcome == o {
				lines += x.Lines
			}
		}
		if n := r.count(o); n > 0 {
			t.Rows = append(t.Rows, []string{o, strconv.Itoa(n), strconv.Itoa(lines)})
		}
	}
	if err := render.Write(w, f, t, nil); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s in %s.\n", howManyOf(r.Attempts, "attempt", "attempts"), r.DB)
	return err
}

// said names on stderr what is odd about a file, and is an error when one was not taken in.
func (r importResult) said(c *cobra.Command) error {
	for _, x := range r.Files {
		switch {
		case x.Outcome == notTaken && x.Line != nil:
			c.PrintErrf("error: %s, line %d: %s; not taken in\n", x.File, *x.Line, x.What)
		case x.Outcome == notTaken:
			c.PrintErrf("error: %s: %s; not taken in\n", x.File, x.What)
		case x.Outcome == string(sqllog.Older):
			c.PrintErrf("note: %s: an older copy of %s; nothing was changed\n", x.File, x.Place)
		case x.Outcome == string(sqllog.Known) && x.moved:
			c.PrintErrf("note: %s: the same attempt as %s; it is kept once\n", x.File, x.Place)
		case x.Outcome == string(sqllog.Added) && x.moved:
			c.PrintErrf("note: %s: another attempt has that name in the class; this one stands there as %s\n", x.File, x.Place)
		}
		if x.CutOff {
			c.PrintErrf("note: %s: ends in the middle of a line, which was never acknowledged and is left out; perhaps the file was not copied to its end\n", x.File)
		}
		if len(x.SameAs) > 0 {
			c.PrintErrf("note: %s: the same attempt, act by act, as %s under another name\n", x.File, firstOf(x.SameAs))
		}
	}
	if r.count(notTaken) > 0 {
		c.PrintErrln("hint: kilopond verify FILE says more; everything else above was taken in")
		return errReported
	}
	return nil
}
