package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader/fidelity"
	"kilopond/scenarios"
)

func newFidelity() *cobra.Command {
	var quick bool
	var only []string
	c := &cobra.Command{
		Use:   "fidelity",
		Short: "The simulated population against published statistics",
		Long: "The simulated population against published statistics: each row simulated as its source describes it, beside the published value, the\n" +
			"band that was set for it beforehand, and the 95 % interval of the simulation's own sampling. Exit 1 when a row does not hold.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond fidelity --quick"),
	}
	c.Flags().BoolVar(&quick, "quick", false, "fewer people: some seconds, wider intervals")
	c.Flags().StringSliceVar(&only, "row", nil, "only these rows, by id (may be repeated)")
	c.Flags().String("seed", "1", "of the first person of each study")
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		text, err := c.Flags().GetString("seed")
		must(err)
		seed, err := scenarios.ParseSeed(text)
		if err != nil {
			return usage("for example --seed 7", "--%w", err)
		}
		bar := newBar(c.ErrOrStderr())
		rows, err := fidelity.Run(c.Context(), fidelity.Options{Seed: seed, Quick: quick, Rows: only, Progress: bar.show})
		bar.clear()
		var none *fidelity.NoRow
		if errors.As(err, &none) {
			hint := "kilopond fidelity --quick lists them all"
			if none.Near != "" {
				hint = "did you mean " + none.Near + "?"
			}
			return usage(hint, "--%w", err)
		}
		if err != nil {
			return called(err)
		}
		if err := writeFidelity(c.OutOrStdout(), f, rows); err != nil {
			return err
		}
		for _, r := range rows {
			if !r.Holds {
				return errReported
			}
		}
		return nil
	}
	return c
}

func writeFidelity(out io.Writer, f render.Format, rows []fidelity.Row) error {
	t := render.Table{Header: []string{"id", "quantity", "published", "simulated", "holds"}, Wrap: 1, Width: 38, Right: []bool{false, false, true, true, false}}
	if f != render.Text {
		t.Header = []string{"id", "quantity", "population", "unit", "published", "low", "high", "simulated", "ci_low", "ci_high", "n", "holds", "source"}
		t.Right, t.Wrap = nil, -1
	}
	missed := 0
	for _, r := range rows {
		numbers := []string{short(r.Published), short(r.Low), short(r.High), decimals(r.Simulated, 3), decimals(r.CILow, 3), decimals(r.CIHigh, 3), strconv.Itoa(r.N)}
		if f != render.Text {
			holds := strconv.FormatBool(r.Holds)
			t.Rows = append(t.Rows, append(append([]string{r.ID, r.Quantity, r.Population, r.Unit}, numbers...), holds, r.Source))
			continue
		}
		holds := "yes"
		if !r.Holds {
			holds = "NO"
			missed++
		}
		t.Rows = append(t.Rows, []string{r.ID, r.Quantity + ", " + r.Unit + "; " + r.Population, numbers[0] + "\n" + numbers[1] + " to " + numbers[2],
			fmt.Sprintf("%s\n%s to %s\nn %s", numbers[3], numbers[4], numbers[5], numbers[6]), holds})
	}
	if err := render.Write(out, f, t, rows); err != nil || f != render.Text {
		return err
	}
	lines := []string{"", fmt.Sprintf("%d of %d rows hold.", len(rows)-missed, len(rows)),
		"Below a published value its band; below a simulated one the 95 % interval of",
		"its sampling, and n. Sources are left out here: --format csv or json has them."}
	for _, r := range rows {
		if note := fidelity.Note(r); note != "" {
			lines = append(lines, render.Wrap(r.ID+": "+note, 78, "", "     ")...)
		}
	}
	_, err := fmt.Fprintln(out, strings.Join(lines, "\n"))
	return err
}

// short prints a number of the table as it stands there.
func short(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// A bar shows on a terminal how much of the work is done; elsewhere it shows nothing.
type bar struct {
	out  io.Writer
	last int
}

func newBar(out io.Writer) *bar {
	if f, ok := render.Terminal(out); ok {
		return &bar{out: f, last: -1}
	}
	return &bar{}
}

const barWidth = 40

func (b *bar) show(done, of int) {
	if percent := 100 * done / of; b.out != nil && percent != b.last {
		b.last = percent
		full := barWidth * done / of
		fmt.Fprintf(b.out, "\r[%s%s] %3d %%", strings.Repeat("=", full), strings.Repeat(" ", barWidth-full), percent)
	}
}

func (b *bar) clear() {
	if b.out != nil {
		fmt.Fprint(b.out, "\r"+strings.Repeat(" ", barWidth+10)+"\r")
	}
}
