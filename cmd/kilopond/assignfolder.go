package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
)

// freeFolder refuses a folder that holds something: nothing is overwritten.
func freeFolder(path string) error {
	left, err := os.ReadDir(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return &hinted{fmt.Errorf("%s: %s", path, plainError(err)), "give a new folder: --out FOLDER"}
	case len(left) > 0:
		return &hinted{fmt.Errorf("%s: exists already and is not empty; nothing is overwritten", path), "give a new folder: --out FOLDER"}
	}
	return nil
}

// packName is a pack's file. Its label is not the whole code.
func packName(label string) string { return "pack-" + label + ".json" }

// writePacks writes everything beside the folder first and moves it there at the end, so that nothing is ever half there.
func writePacks(folder string, a exercises.Assignment, made []exercises.Made, book grader.Rulebook, size string) (err error) {
	folder = filepath.Clean(folder)
	if err := os.MkdirAll(filepath.Dir(folder), 0o755); err != nil {
		return &hinted{err, "give a folder that can be written to: --out FOLDER"}
	}
	beside, err := os.MkdirTemp(filepath.Dir(folder), ".packs-*")
	if err != nil {
		return &hinted{err, "give a folder that can be written to: --out FOLDER"}
	}
	defer func() {
		if err != nil {
			err = &hinted{errors.Join(fmt.Errorf("the packs cannot be written: %w", err), os.RemoveAll(beside)), "nothing was made; make room, or give a folder elsewhere: --out FOLDER"}
		}
	}()
	if err := os.Mkdir(filepath.Join(beside, "packs"), 0o755); err != nil {
		return err
	}
	for _, m := range made {
		raw, err := m.Pack.Encode()
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(beside, "packs", packName(m.Pack.Label)), raw, 0o644); err != nil {
			return err
		}
	}
	own, err := a.Encode()
	if err != nil {
		return err
	}
	codes, err := codesCSV(a)
	if err != nil {
		return err
	}
	for name, data := range map[string][]byte{"assignment.json": own, "codes.csv": codes} { // each file alone: the order does not show
		if err := os.WriteFile(filepath.Join(beside, name), data, 0o600); err != nil {
			return err
		}
	}
	sheet, err := rulesPDF(a.Terms, book, size)
	if err != nil {
		return err
	}
	for name, data := range map[string][]byte{"rules.txt": rulesText(a.Terms, book), "rules.pdf": sheet} {
		if err := os.WriteFile(filepath.Join(beside, name), data, 0o644); err != nil {
			return err
		}
	}
	if err := os.Remove(folder); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.Rename(beside, folder)
}

// codesCSV says whose code is whose.
func codesCSV(a exercises.Assignment) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"name", "key", "group", "code", "pack"}}
	for _, s := range a.Students {
		rows = append(rows, []string{harmless(s.Name), harmless(s.Key), harmless(s.Group), s.Code, packName(exercises.Label(s.Code))})
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// termsInWords are the terms of a pack as a student reads them: what, and how.
func termsInWords(t exercises.Terms) [][2]string {
	lines := [][2]string{{"opens", local(t.From)}}
	if t.Until.IsZero() {
		lines = append(lines, [2]string{"closes", "never"})
	} else {
		lines = append(lines, [2]string{"closes", local(t.Until)})
	}
	late := "nothing is begun or continued"
	switch t.Late {
	case exercises.LateAccept:
		late = "counts, and is named as late"
	case exercises.LateDeduct:
		late = fmt.Sprintf("%v %% off for each day begun", t.LatePercent)
	}
	if !t.Until.IsZero() {
		lines = append(lines, [2]string{"after that", late})
	}
	tries := "1 at each place"
	if t.Attempts > 1 {
		tries = fmt.Sprintf("%d at each place, each further one with another person; the last counts", t.Attempts)
	}
	lines = append(lines, [2]string{"attempts", tries})
	if t.SittingMin > 0 {
		lines = append(lines, [2]string{"time", fmt.Sprintf("%d minutes for one person; nothing is cut off, going over is named", t.SittingMin)})
	}
	if n := len(t.Skills); n > 0 {
		word := "skills"
		if n == 1 {
			word = "skill"
		}
		lines = append(lines, [2]string{"first", "show the short " + word + " " + strings.Join(t.Skills, ", ")})
	}
	coach := "none"
	if t.Coach {
		coach = "may be asked for with --coach"
	}
	lines = append(lines, [2]string{"coach", coach})
	report := map[exercises.ReportRule]string{
		exercises.ReportAtOnce: "on handing in", exercises.ReportAfter: "when the window has closed", exercises.ReportHeld: "from your instructor",
	}[t.Report]
	lines = append(lines, [2]string{"report", report}, [2]string{"kept", "every command with the time of the computer's clock"})
	return lines
}
