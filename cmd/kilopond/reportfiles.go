package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/page"
	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/grader/inorder"
)

// addReportFiles adds the flags that ask for a report as files beside the text.
func addReportFiles(c *cobra.Command) {
	c.Flags().String("html", "", "write the report as a page, whole in one file; of a class, one for each attempt in this folder")
	c.Flags().String("pdf", "", "write the report as PDF; of a class, one for each attempt in this folder")
	c.Flags().String("paper", "a4", "paper of the PDF: "+strings.Join(paper.Sizes(), " or "))
	c.Flags().Bool("force", false, "write over files that exist")
}

// reportFiles is what the flags ask for.
type reportFiles struct {
	html, pdf, paper string
	force            bool
}

// wanted says whether any file is asked for.
func (f reportFiles) wanted() bool { return f.html != "" || f.pdf != "" }

func reportFilesOf(c *cobra.Command) (reportFiles, error) {
	var f reportFiles
	var err error
	f.html, err = c.Flags().GetString("html")
	must(err)
	f.pdf, err = c.Flags().GetString("pdf")
	must(err)
	f.paper, err = c.Flags().GetString("paper")
	must(err)
	f.force, err = c.Flags().GetBool("force")
	must(err)
	if !slices.Contains(paper.Sizes(), f.paper) {
		return f, usage(strings.Join(paper.Sizes(), " or "), "--paper %q: not a size of paper", f.paper)
	}
	return f, nil
}

// write writes the files of one report.
func (f reportFiles) write(o render.Outline) error {
	if f.html != "" {
		if err := writeReport(f.html, f.force, func(w io.Writer) error { return page.Write(w, o) }); err != nil {
			return err
		}
	}
	if f.pdf != "" {
		return writeReport(f.pdf, f.force, func(w io.Writer) error { return paper.Write(w, o, f.paper) })
	}
	return nil
}

// writeClass writes the report of each attempt that was graded; the flags then name folders.
func (f reportFiles) writeClass(c *cobra.Command, class *classRead) (err error) {
	if !f.wanted() {
		return nil
	}
	for _, dir := range []string{f.html, f.pdf} {
		if dir == "" {
			continue
		}
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return &hinted{fmt.Errorf("the reports cannot be written: %w", err), "of a class, --html and --pdf name folders"}
		}
	}
	db, err := stored(c) // it was closed when its attempts were marked
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.close()) }()
	read := map[string]func() ([]byte, error){}
	for _, h := range db.files {
		read[h.path] = h.read
	}
	var graded []marked
	for _, m := range class.files {
		if m.graded {
			m.read = read[m.path]
			graded = append(graded, m)
		}
	}
	names := reportNames(graded)
	from, err := shelf(c)
	if err == nil {
		from, err = from.with(class.key)
	}
	if err != nil {
		return err
	}
	err = inorder.Each(c.Context(), len(graded), func(i int) (struct{}, error) {
		return struct{}{}, f.writeOne(c, class.key, from, graded[i], names[i], class.histories[graded[i].head])
	}, func(int, struct{}) error { return nil })
	if err != nil {
		return err
	}
	c.PrintErrf("reports written: %d\n", len(graded))
	return nil
}

// writeOne judges an attempt of a class again, with its time line, and writes its files.
func (f reportFiles) writeOne(c *cobra.Command, key *keyFile, from caseShelf, m marked, name string, h grader.History) error {
	a, err := m.attempt()
	if err != nil {
		return err
	}
	if a.Header, err = released(key, wallClock(c), m.path, a); err != nil {
		return err
	}
	b, err := attemptRules(c, a.Header)
	if err != nil {
		return err
	}
	played, err := playedAgain(from, a) // as it was when it was graded: the page is that of the report opened by itself
	if err != nil {
		return fmt.Errorf("%s: %w", m.path, err)
	}
	course, err := grader.Read(a.Header, a.Lines)
	if err != nil {
		return fmt.Errorf("%s: %w", m.path, err)
	}
	o := render.OutlineOf(grader.Grade(b, course).WithSplit(b, course, played))
	o.After("verdict", notedPart(h, func() grader.Mark { return grader.MarkOf(b, course, nil) })...)
	one := f
	if f.html != "" {
		one.html = filepath.Join(f.html, name+".html")
	}
	if f.pdf != "" {
		one.pdf = filepath.Join(f.pdf, name+".pdf")
	}
	return one.write(o)
}

// reportNames are file names by student and attempt, each once.
func reportNames(list []marked) []string {
	met := map[string]bool{}
	var names []string
	for _, m := range list {
		name := strings.TrimSuffix(filepath.Base(m.path), filepath.Ext(m.path))
		if !strings.HasPrefix(name, m.student) {
			name = m.student + "." + name
		}
		name = strings.Map(func(r rune) rune {
			if r == '/' || r == '\\' || r == ':' {
				return '-'
			}
			return r
		}, name)
		whole := name
		for n := 2; met[whole]; n++ {
			whole = fmt.Sprintf("%s.%d", name, n)
		}
		met[whole] = true
		names = append(names, whole)
	}
	return names
}

// writeReport writes a file whole, or nothing of it; one that exists only when asked to.
func writeReport(path string, force bool, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	put := newFileWhole
	if force {
		put = writeOver
	}
	switch err := put(path, b.Bytes(), 0o644); {
	case errors.Is(err, fs.ErrExist):
		return &hinted{fmt.Errorf("%s: exists already; nothing is overwritten", path), "give another name, or --force to write over it"}
	case errors.Is(err, syscall.ENOSPC):
		return err
	case err != nil:
		return &hinted{fmt.Errorf("nothing can be written there: %w", err), "give a file in a folder that can be written to"}
	}
	return nil
}
