package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"kilopond/exercises/sqllog"
	"kilopond/grader"
)

// readNotes reads logs of marks, those that are there, and names what cannot be read of them.
func readNotes(paths []string) (notes []grader.Noted, problems []problem) {
	seen := map[string]bool{}
	for _, path := range paths {
		abs, err := filepath.Abs(path)
		if err != nil || seen[abs] {
			continue
		}
		seen[abs] = true
		data, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		var some []grader.Noted
		if err == nil {
			some, err = grader.DecodeNotes(data)
		}
		notes = append(notes, some...)
		if err != nil {
			problems = append(problems, problem{File: path, Kind: "grades-log", What: "what was noted from there on is not read: " + plainError(err)})
		}
	}
	return notes, problems
}

// addNotes adds lines to a log of marks in one write, and returns when they are on the disk. A log whose last line was never finished is left
// alone: a new line would be lost behind it.
func addNotes(path string, notes []grader.Noted) (err error) {
	if len(notes) == 0 {
		return nil
	}
	var all []byte
	for _, n := range notes {
		raw, err := grader.EncodeNoted(n)
		if err != nil {
			return err
		}
		all = append(append(all, raw...), '\n')
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if size := info.Size(); size > 0 {
		last := make([]byte, 1)
		if _, err := f.ReadAt(last, size-1); err != nil {
			return err
		}
		if last[0] != '\n' {
			return fmt.Errorf("%s: its last line was never finished", path)
		}
	}
	if _, err := f.Write(all); err != nil {
		return err
	}
	return f.Sync()
}

// now is the time as a log of marks writes it.
func now() string { return time.Now().UTC().Format(time.RFC3339) }

// logBeside is the log of marks of a file or folder; for a server's class it lies in the folder in which the command is given.
func logBeside(path string) string {
	if sqllog.IsServer(path) {
		return gradesFile
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return filepath.Join(path, gradesFile)
	}
	return filepath.Join(filepath.Dir(path), gradesFile)
}

// A change is an automatic mark that differs from the one given before.
type change struct {
	Student string       `json:"student"`
	File    string       `json:"file"`
	Head    string       `json:"head"`
	At      string       `json:"given_at"` // when the earlier mark was given
	Before  grader.Given `json:"before"`
	Now     grader.Given `json:"now"`
}

// changes lists the marks that differ from those of the log.
func changes(files []marked, histories map[string]grader.History) []change {
	all := []change{}
	for _, f := range files {
		h := histories[f.head]
		if !f.graded || h.Given == nil {
			continue
		}
		if now := f.mark.Given(); !h.Given.Same(now) {
			all = append(all, change{Student: f.student, File: f.path, Head: f.head, At: h.GivenAt, Before: *h.Given, Now: now})
		}
	}
	return all
}

// record adds the marks to the log that it does not hold yet under these rules, each attempt once.
func record(path string, files []marked, histories map[string]grader.History) (n int, err error) {
	var fresh []grader.Noted
	at := now()
	seen := map[string]bool{}
	for _, f := range files {
		if !f.graded || seen[f.head] {
			continue
		}
		seen[f.head] = true
		given := f.mark.Given()
		if h := histories[f.head]; h.Given != nil && h.Given.Same(given) && h.Given.RulebookHash == given.RulebookHash {
			continue
		}
		fresh = append(fresh, grader.Noted{At: at, Head: f.head, Student: f.student, Given: &given})
	}
	return len(fresh), addNotes(path, fresh)
}
