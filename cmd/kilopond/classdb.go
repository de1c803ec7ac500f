package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/exercises/sqllog"
)

// classFile is the class file where none is named.
const classFile = "class.db"

// addDB adds --db to the commands that keep a class.
func addDB(c *cobra.Command) {
	c.Flags().String("db", classFile, "the class file, or a server: postgres://USER@HOST/DATABASE")
}

// addFromDB adds --db to the commands that read attempts from files, and from a class when it is named.
func addFromDB(c *cobra.Command) {
	c.Flags().String("db", "", "a class file, or postgres://USER@HOST/DATABASE: its attempts too, or alone")
}

// dbFlag is the class file's path or the server's address, "" when none is named. It may hold a password: what is told is the name of the open class.
func dbFlag(c *cobra.Command) string {
	if c.Flags().Lookup("db") == nil {
		return ""
	}
	path, err := c.Flags().GetString("db")
	must(err)
	return path
}

// filesOrDB wants at least one file or folder, or --db.
func filesOrDB(hint string) cobra.PositionalArgs {
	return func(c *cobra.Command, given []string) error {
		if len(given) == 0 && dbFlag(c) == "" {
			return usage(hint, "%s: name a file or folder, or a class file with --db", c.CommandPath())
		}
		return nil
	}
}

// openClass opens the class of --db, makes it when fresh, and finishes an erasure that was begun.
func openClass(c *cobra.Command, fresh bool) (*sqllog.Store, error) {
	where := dbFlag(c)
	if where == "" {
		return nil, usage("for example --db "+classFile, "--db: the name is empty")
	}
	open := sqllog.Open
	if fresh {
		open = sqllog.Create
	}
	s, err := open(c.Context(), where, sqllog.Patience)
	if err != nil {
		return nil, inWords(err)
	}
	if err := s.FinishErasing(c.Context()); err != nil {
		return nil, inWords(errors.Join(err, s.Close()))
	}
	return s, nil
}

// inWords adds what to do about a fault of the class.
func inWords(err error) error {
	var f *sqllog.Fault
	switch {
	case errors.As(err, &f):
		return &hinted{err, f.Do}
	case errors.Is(err, context.Canceled):
		return errors.New("interrupted: what was not finished was taken back")
	}
	return err
}

// closing closes the class at the end of a command; its fault is the command's when there is no other.
func closing(s *sqllog.Store, err *error) { *err = errors.Join(*err, inWords(s.Close())) }

// A storedClass is a class as a source of attempts.
type storedClass struct {
	name    string // as it is told; "" when there is none
	files   []handIn
	members []sqllog.Member
	close   func() error
}

// stored reads what the class of --db has, nothing when none is named. It must be closed when its attempts have been read.
func stored(c *cobra.Command) (storedClass, error) {
	out := storedClass{close: func() error { return nil }}
	where := dbFlag(c)
	if where == "" {
		return out, nil
	}
	s, err := sqllog.Read(c.Context(), where, sqllog.Patience)
	if err != nil {
		return out, inWords(err)
	}
	out.name = s.Name()
	held, err := s.Held(c.Context())
	if err == nil {
		out.members, err = s.Members(c.Context())
	}
	if err != nil {
		return out, inWords(errors.Join(err, s.Close()))
	}
	for _, h := range held {
		out.files = append(out.files, handIn{
			path: out.name + ":" + h.Name, owner: h.Owner, changed: time.UnixMilli(h.ChangedMs),
			read: func() ([]byte, error) { return s.Data(c.Context(), h.Name) },
		})
	}
	out.close = s.Close
	return out, nil
}

// own are the class file and what the database keeps beside it: no attempts.
func (s storedClass) own() []string { return sqllog.Files(s.name) }

// logs is the log of marks beside the class.
func (s storedClass) logs() []string {
	if s.name == "" {
		return nil
	}
	return []string{logBeside(s.name)}
}

// owners says of attempts whose they are by the class's own roster, where no instructor's file does.
func (s storedClass) owners(files []marked) {
	of := map[string]sqllog.Member{}
	for _, m := range s.members {
		for _, code := range m.Codes {
			of[code] = m
		}
	}
	for _, m := range s.members { // a key goes before a code
		of[m.Key] = m
	}
	for i := range files {
		if m, ok := of[files[i].student]; ok {
			files[i].student, files[i].name = m.Key, m.Name
			for k := range files[i].problems {
				files[i].problems[k].Student = m.Key
			}
		}
	}
}

// placeOf is where an attempt stands in the class: its path below what was given, or its own name.
func placeOf(given, path string) string {
	rel, err := filepath.Rel(given, path)
	if err != nil || rel == "." || !filepath.IsLocal(rel) {
		rel = filepath.Base(path)
	}
	return filepath.ToSlash(rel)
}

// firstOf puts words into a sentence, the first few of them.
func firstOf(words []string) string {
	const most = 5
	if len(words) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
	}
	return strings.Join(words, ", ")
}
