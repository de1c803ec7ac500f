package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/sqllog"
)

// A copyResult is the machine-readable result of class export and class backup.
type copyResult struct {
	DB       string `json:"db"`
	Out      string `json:"out"`
	Students int    `json:"students"`
	Attempts int    `json:"attempts"`
}

func newClassExport() *cobra.Command {
	c := &cobra.Command{
		Use:   "export --out FOLDER",
		Short: "Write everything in the class file as ordinary files",
		Long: "Write everything in the class file into a new folder: attempts, each as the file that was handed in, byte by byte, and roster.csv. kilopond class\n" +
			"roster and class import read them again. The folder is there whole or not at all.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond class export --out FOLDER --db "+classFile),
	}
	c.Flags().String("out", "", "the new folder")
	addDB(c)
	addFormat(c)
	c.RunE = classExport
	return c
}

func newClassBackup() *cobra.Command {
	c := &cobra.Command{
		Use:   "backup --out FILE",
		Short: "Copy the class file as it stands at one moment, while others may use it",
		Long: "Copy the class file as it stands at one moment, while others may go on writing; copying it by other means can tear it. Nothing is overwritten.\n" +
			"The class file remembers where its copies are, so that class erase can name them.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond class backup --out FILE --db "+classFile),
	}
	c.Flags().String("out", "", "the new file")
	addDB(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		return copyClass(c, func(s *sqllog.Store, out string, r *copyResult) error {
			return inWords(s.Backup(c.Context(), out, time.Now().UnixMilli()))
		})
	}
	return c
}

// copyClass opens the class file, makes a copy, and says what it holds.
func copyClass(c *cobra.Command, make func(s *sqllog.Store, out string, r *copyResult) error) (err error) {
	f, err := format(c)
	if err != nil {
		return err
	}
	out, err := c.Flags().GetString("out")
	must(err)
	if out == "" {
		return usage(c.CommandPath()+" --help says more", "%s: --out says where to", c.CommandPath())
	}
	s, err := openClass(c, false)
	if err != nil {
		return err
	}
	defer closing(s, &err)
	held, err := s.Held(c.Context())
	if err != nil {
		return inWords(err)
	}
	members, err := s.Members(c.Context())
	if err != nil {
		return inWords(err)
	}
	r := copyResult{s.Name(), out, len(members), len(held)}
	if err := make(s, out, &r); err != nil {
		return err
	}
	if f == render.Text || f == render.Markdown {
		_, err := fmt.Fprintf(c.OutOrStdout(), "%s and %s of %s are in %s.\n", howManyOf(r.Students, "student", "students"), howManyOf(r.Attempts, "attempt", "attempts"), r.DB, r.Out)
		return err
	}
	t := render.Table{Header: []string{"db", "out", "students", "attempts"}, Rows: [][]string{{r.DB, r.Out, fmt.Sprint(r.Students), fmt.Sprint(r.Attempts)}}, Wrap: -1}
	return render.Write(c.OutOrStdout(), f, t, r)
}

func classExport(c *cobra.Command, _ []string) error {
	return copyClass(c, func(s *sqllog.Store, out string, r *copyResult) (err error) {
		if err := freeFolder(out); err != nil {
			return err
		}
		out = filepath.Clean(out)
		beside, err := os.MkdirTemp(filepath.Dir(out), ".class-*")
		if err != nil {
			return &hinted{fmt.Errorf("%s: %s", out, plainError(err)), "give a folder that can be written to: --out FOLDER"}
		}
		defer func() {
			if err != nil {
				err = errors.Join(err, os.RemoveAll(beside))
			}
		}()
		if err := writeClassFolder(c, s, beside, r); err != nil {
			return inWords(err)
		}
		if err := os.Remove(out); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		if err := os.Rename(beside, out); err != nil {
			return err
		}
		return inWords(s.Note(c.Context(), out, "export", time.Now().UnixMilli()))
	})
}

// writeClassFolder writes attempts and roster. A row that is not as it was kept ends it: nothing is exported that does not hold.
func writeClassFolder(c *cobra.Command, s *sqllog.Store, folder string, r *copyResult) error {
	held, err := s.Held(c.Context())
	if err != nil {
		return err
	}
	r.Attempts = len(held)
	if err := os.Mkdir(filepath.Join(folder, "attempts"), 0o700); err != nil {
		return err
	}
	for _, h := range held {
		data, err := s.Data(c.Context(), h.Name)
		var d *exercises.Damage
		switch {
		case errors.As(err, &d):
			return &hinted{fmt.Errorf("%s: %s, %w", s.Name(), h.Name, d), "go back to the last backup; nothing was exported"}
		case err != nil:
			return err
		case !filepath.IsLocal(filepath.FromSlash(h.Name)):
			return fmt.Errorf("%s: %q cannot be the name of a file", s.Name(), h.Name)
		}
		path := filepath.Join(folder, "attempts", filepath.FromSlash(h.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return err
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			return err
		}
		if h.ChangedMs > 0 {
			at := time.UnixMilli(h.ChangedMs)
			if err := os.Chtimes(path, at, at); err != nil {
				return err
			}
		}
	}
	rows, err := memberRows(c, s)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := render.Write(&b, render.CSV, memberTable(rows, true), nil); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "roster.csv"), b.Bytes(), 0o600)
}
