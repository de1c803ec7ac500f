package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/page"
	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/grader"
)

// addReportFiles adds the flags that ask for a report as files beside the text.
func addReportFiles(c *cobra.Command) {
	c.Flags().String("html", "", "write the report as a page, whole in one file")
	c.Flags().String("pdf", "", "write the report as PDF")
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
	if f.html != "" && f.html == f.pdf {
		return f, usage("give two names", "--html and --pdf both name %s", f.html)
	}
	return f, nil
}

// writeReports writes the files of one report; whoever grades a folder calls it for each attempt with names of its own.
func writeReports(r grader.Report, f reportFiles) error {
	if !f.wanted() {
		return nil
	}
	o := render.OutlineOf(r)
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

// writeReport writes a file whole, or nothing of it; one that exists only when asked to.
func writeReport(path string, force bool, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	mode := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if force {
		mode = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	file, err := os.OpenFile(path, mode, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return &hinted{fmt.Errorf("%s: exists already; nothing is overwritten", path), "give another name, or --force to write over it"}
	case err != nil:
		return &hinted{fmt.Errorf("the report cannot be written: %w", err), "give a file in a folder that can be written to"}
	}
	_, err = file.Write(b.Bytes())
	return errors.Join(err, file.Close())
}
