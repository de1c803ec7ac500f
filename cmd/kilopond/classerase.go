package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises/sqllog"
)

// An eraseResult is the machine-readable result of class erase. It names the student once more, and is kept nowhere.
type eraseResult struct {
	DB       string      `json:"db"`
	Key      string      `json:"key"`
	Name     string      `json:"name"`
	Codes    []string    `json:"codes"`
	Attempts []string    `json:"attempts"`
	Lines    int         `json:"lines"`
	Clean    bool        `json:"clean"`  // name, key and codes stand in no byte of the class file, nor of the two files beside it; in no row of a server's class
	Beyond   string      `json:"beyond"` // what this program cannot look into; empty for a class file
	Others   []otherWord `json:"others"` // where they do, in what is another student's
	Copies   []copyRow   `json:"copies"` // that hold the student still, or cannot be looked into
}

// An otherWord is a word of the student's that stands in what belongs to others, as a short key may by chance.
type otherWord struct {
	Word  string   `json:"word"`
	Times int      `json:"times"`
	Where []string `json:"where"`
}

// A copyRow is a file outside the class file.
type copyRow struct {
	Path   string  `json:"path"`
	Kind   string  `json:"kind"` // backup, export, file
	MadeAt *string `json:"made_at"`
	What   string  `json:"what"`
}

func newClassErase() *cobra.Command {
	c := &cobra.Command{
		Use:   "erase KEY|CODE",
		Short: "Take a student out of the class, so that no byte of the class file is left",
		Long: "Take a student out of the class file: the row of the roster, the codes, and every attempt that is theirs by a code, or by their key or name on the\n" +
			"file that was handed in. The file is then written anew, and searched byte by byte for name, key and codes. Copies that hold the\n" +
			"student still are named: they are yours to delete, and so are the files that were handed in. What a disk keeps of deleted files is beyond a\n" +
			"program. A server (--db postgres://…) writes its tables anew; what else it keeps, the answer says. There is no way back: --yes says that you\n" +
			"mean it.\n\n" + render.Caution,
		Args: args(cobra.ExactArgs(1), "kilopond class erase KEY --yes --db "+classFile+"; kilopond class roster lists the keys"),
	}
	c.Flags().Bool("yes", false, "there is no way back, and that is wanted")
	addDB(c)
	addFormat(c)
	c.RunE = classErase
	return c
}

func classErase(c *cobra.Command, given []string) (err error) {
	f, err := format(c)
	if err != nil {
		return err
	}
	yes, err := c.Flags().GetBool("yes")
	must(err)
	if !yes {
		return usage("kilopond class backup first, if in doubt; then the same with --yes", "class erase: there is no way back; nothing was changed")
	}
	s, err := openClass(c, false)
	if err != nil {
		return err
	}
	defer closing(s, &err)
	e, err := s.Erase(c.Context(), given[0])
	switch {
	case errors.Is(err, sqllog.ErrNobody):
		return &hinted{fmt.Errorf("%s: %q is nobody's key or code in it; nothing was changed", s.Name(), given[0]), "kilopond class roster lists the keys and codes"}
	case err != nil && e.Key != "":
		return &hinted{fmt.Errorf("%s is taken out, but old bytes are left: %w", e.Key, err), hintOf(inWords(err)) + "; any command that writes to the class file finishes it"}
	case err != nil:
		return inWords(err)
	}
	r := eraseResult{DB: s.Name(), Key: e.Key, Name: e.Name, Codes: append([]string{}, e.Codes...), Attempts: append([]string{}, e.Attempts...), Lines: e.Lines,
		Others: []otherWord{}, Copies: []copyRow{}}
	if err := r.search(c, s, e.Words()); err != nil {
		return inWords(err)
	}
	return r.write(c, f)
}

// search looks for what is left, in the class file and outside.
func (r *eraseResult) search(c *cobra.Command, s *sqllog.Store, words []string) error {
	found, err := s.Traces(c.Context(), words)
	if err != nil {
		return err
	}
	r.Clean = len(found) == 0
	for _, t := range found {
		i := slices.IndexFunc(r.Others, func(o otherWord) bool { return o.Word == t.Word })
		if i < 0 {
			where, err := s.Mentions(c.Context(), t.Word)
			if err != nil {
				return err
			}
			r.Others, i = append(r.Others, otherWord{Word: t.Word, Where: append([]string{}, where...)}), len(r.Others)
		}
		r.Others[i].Times += t.Times
	}
	copies, err := s.Copies(c.Context())
	if err != nil {
		return err
	}
	seen := sqllog.Files(s.Name())
	for _, x := range copies {
		at := time.UnixMilli(x.MadeMs).UTC().Format(stamp)
		r.look(x.Path, x.Kind, &at, words)
		seen = append(seen, x.Path)
	}
	if sqllog.IsServer(s.Name()) {
		r.Beyond = serverKeeps
		return nil
	}
	return r.lookBeside(s.Name(), seen, words)
}

// serverKeeps is what of an erasure lies with whoever runs the server.
const serverKeeps = "The server's tables were written anew. Its log of changes, its statistics, its own logs, copies and replicas, and what its disk keeps of deleted " +
	"files may hold the student for a while: ask who runs it how long."

// look names a copy when it holds the student or cannot be looked into; one that is gone is of no matter.
func (r *eraseResult) look(path, kind string, at *string, words []string) {
	found, err := sqllog.TracesIn(path, words)
	row := copyRow{Path: path, Kind: kind, MadeAt: at, What: "holds the student still"}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return
	case err != nil:
		row.What = "cannot be looked into: " + plainError(err)
	case len(found) == 0:
		return
	}
	r.Copies = append(r.Copies, row)
}

// lookBeside names other class files, and the log of marks, in the folder of the class file.
func (r *eraseResult) lookBeside(db string, seen, words []string) error {
	abs := map[string]bool{}
	for _, path := range seen {
		if p, err := filepath.Abs(path); err == nil {
			abs[p] = true
		}
	}
	entries, err := os.ReadDir(filepath.Dir(db))
	if err != nil {
		return err
	}
	for _, e := range entries {
		path := filepath.Join(filepath.Dir(db), e.Name())
		full, err := filepath.Abs(path)
		if err != nil || abs[full] || !e.Type().IsRegular() {
			continue
		}
		if e.Name() == gradesFile || strings.HasSuffix(e.Name(), "-wal") || isDatabase(path) {
			r.look(path, "file", nil, words)
		}
	}
	return nil
}

// isDatabase says whether a file begins as class files do, or belongs to one.
func isDatabase(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	head := make([]byte, 6)
	_, err = f.Read(head)
	return errors.Join(err, f.Close()) == nil && bytes.Equal(head, []byte("SQLite"))
}

func (r eraseResult) write(c *cobra.Command, f render.Format) error {
	w := c.OutOrStdout()
	if f == render.CSV || f == render.JSON {
		t := render.Table{Header: []string{"path", "kind", "made_at", "what"}, Wrap: -1}
		for _, x := range r.Copies {
			at := ""
			if x.MadeAt != nil {
				at = *x.MadeAt
			}
			t.Rows = append(t.Rows, []string{harmless(x.Path), x.Kind, at, x.What})
		}
		return render.Write(w, f, t, r)
	}
	p := &printed{w: w, f: f}
	p.line("%s is taken out of %s: %s, %s.", r.Key, r.DB, howManyOf(len(r.Attempts), "attempt", "attempts"), howManyOf(r.Lines, "line", "lines"))
	switch {
	case r.Clean && r.Beyond == "":
		p.line("Name, key and codes stand in no byte of it any more.")
	case r.Clean:
		p.line("Name, key and codes stand in no row of it any more.")
	}
	for _, o := range r.Others {
		p.par(fmt.Sprintf("%s still stands there %s, in what is others': %s.", o.Word, howManyOf(o.Times, "time", "times"), firstOf(o.Where)))
	}
	if len(r.Copies) > 0 {
		p.head("Outside the class file, and yours to delete")
		for _, x := range r.Copies {
			p.line("%s (%s): %s", x.Path, x.Kind, x.What)
		}
	}
	p.line("")
	if r.Beyond != "" {
		p.par(r.Beyond)
	}
	p.par("The files that were handed in, logs of marks, reports, gradebooks and instructors' files of assignments are not looked for.")
	return p.err
}
