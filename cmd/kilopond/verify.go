package main

import (
	"errors"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/scenarios"
)

// A verdict says whether one file holds, and the first line that does not.
type verdict struct {
	File    string `json:"file"`
	Holds   bool   `json:"holds"`
	Lines   int    `json:"lines"`   // that hold, the first line included
	Played  bool   `json:"played"`  // every reading was played again
	Line    *int   `json:"line"`    // the first that does not hold
	Receipt string `json:"receipt"` // of a closed attempt of a pack
	Says    string `json:"says"`
}

func newVerify() *cobra.Command {
	c := &cobra.Command{
		Use:   "verify FILE…",
		Short: "Replay attempts and name the first line that does not hold",
		Long: "Replay attempts and name the first line that does not hold. Each line of a file is chained to the one before it; then all that was done is\n" +
			"played again on the same person, and every reading must come out as it stands in the file. Exit 1 when a file does not hold.",
		Args: args(cobra.MinimumNArgs(1), "kilopond verify ATTEMPT.jsonl"),
	}
	addCases(c)
	addKey(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		key, err := readKey(c)
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
		var all []verdict
		bad := false
		for _, path := range given {
			v := verify(from, path)
			all = append(all, v)
			bad = bad || !v.Holds
			if f != render.Text {
				continue
			}
			if _, err := fmt.Fprintf(c.OutOrStdout(), "%s: %s\n", path, v.Says); err != nil {
				return err
			}
		}
		if f != render.Text {
			if err := render.Write(c.OutOrStdout(), f, verdictTable(all), all); err != nil {
				return err
			}
		}
		if bad {
			return errReported
		}
		return nil
	}
	return c
}

func verdictTable(all []verdict) render.Table {
	t := render.Table{Header: []string{"file", "holds", "lines", "played", "line", "receipt", "says"}, Right: []bool{false, false, true, false, true}, Wrap: -1}
	for _, v := range all {
		line := ""
		if v.Line != nil {
			line = strconv.Itoa(*v.Line)
		}
		t.Rows = append(t.Rows, []string{harmless(v.File), yesNo(v.Holds), strconv.Itoa(v.Lines), yesNo(v.Played), line, v.Receipt, v.Says})
	}
	return t
}

// verify says whether an attempt holds.
func verify(from caseShelf, path string) verdict {
	v := verdict{File: path}
	fails := func(err error) verdict {
		var d *exercises.Damage
		if errors.As(err, &d) {
			v.Line, v.Lines = &d.Line, d.Line-1
			v.Says = d.Error()
			return v
		}
		v.Says = "cannot be read: " + plainError(err)
		return v
	}
	a, err := readAttempt(path)
	if err != nil {
		return fails(err)
	}
	v.Lines = len(a.Raw)
	note := ""
	if len(a.Unfinished) > 0 {
		note = "; what follows the last whole line was never acknowledged and does not count"
	}
	if a.Header.Pack != nil && a.Closed() {
		v.Receipt = string(exercises.ReceiptOf(a.Last()))
		note += "; receipt " + v.Receipt
	}
	lines := fmt.Sprintf("%d lines", v.Lines)
	if a.Header.Model != scenarios.Model {
		v.Holds = true
		v.Says = fmt.Sprintf("%s hold: chain and order; of model %d, so the subject is not played again (this program has %d)%s", lines, a.Header.Model, scenarios.Model, note)
		return v
	}
	sc, err := from.subjectOf(a.Header)
	if err != nil {
		v.Holds = true
		v.Says = fmt.Sprintf("%s hold: chain and order; the subject cannot be played again: %v%s", lines, err, note)
		return v
	}
	if _, err := exercises.Resimulate(a.Header, sc, a.Lines); err != nil {
		return fails(err)
	}
	v.Holds, v.Played = true, true
	v.Says = lines + " hold: chain, order, and every reading played again" + note
	return v
}
