package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader/inorder"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// mostRows is how many people can be asked for: more is a slip of the pen. mostTabled is how many a table is laid out for.
const (
	mostRows   = 1_000_000_000
	mostTabled = 10_000
)

// addPeople adds the flags that say who is drawn.
func addPeople(c *cobra.Command, n int) {
	f := c.Flags()
	f.String("n", strconv.Itoa(n), "how many people")
	f.String("mix", string(scenarios.General), "general (unscreened), volunteer, or students")
	f.String("sex", "", "M or F; both when left out")
	f.String("age-y", fmt.Sprintf("%d:%d", scenarios.YoungestY, scenarios.OldestY), "ages, LO:HI")
	f.String("seed", "1", "of the first person; a row's own seed with the same filters and --n 1 brings that person again")
	f.String("format", string(render.CSV), "csv, json, table or markdown")
	must(c.RegisterFlagCompletionFunc("mix", cobra.FixedCompletions([]string{"general", "volunteer", "students"}, cobra.ShellCompDirectiveNoFileComp)))
	must(c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(render.Formats(), cobra.ShellCompDirectiveNoFileComp)))
}

// A crowd is who is drawn.
type crowd struct {
	of   scenarios.Population
	seed scenarios.Seed
	n    int
}

// draw returns person i, from 0.
func (w crowd) draw(i int) scenarios.Person { return w.of.Draw(w.seed.Row(i)) }

// people reads the flags of addPeople.
func people(c *cobra.Command) (as render.Format, w crowd, err error) {
	if as, err = format(c); err != nil {
		return as, w, err
	}
	w, err = crowdOf(c)
	return as, w, err
}

func crowdOf(c *cobra.Command) (w crowd, err error) {
	f := c.Flags()
	get := func(name string) string {
		s, err := f.GetString(name)
		must(err)
		return s
	}
	n, err := strconv.Atoi(get("n"))
	if err != nil || n < 1 || n > mostRows {
		return w, usage("for example --n 100", "--n %s: a whole number from 1 to %d", get("n"), mostRows)
	}
	var sexes []unit.Sex
	if text := get("sex"); c.Flags().Changed("sex") {
		s, err := sex(text)
		if err != nil {
			return w, err
		}
		sexes = []unit.Sex{s}
	}
	lowText, highText, ok := strings.Cut(get("age-y"), ":")
	low, err1 := strconv.Atoi(lowText)
	high, err2 := strconv.Atoi(highText)
	if !ok || err1 != nil || err2 != nil {
		return w, usage("two whole numbers, for example --age-y 20:39", "--age-y %q: not LO:HI", get("age-y"))
	}
	of, err := scenarios.NewPopulation(scenarios.Mix(get("mix")), sexes, low, high)
	if err != nil {
		return w, usage("for example --mix students --age-y 20:39", "--%w", err)
	}
	s, err := scenarios.ParseSeed(get("seed"))
	if err != nil {
		return w, usage("for example --seed 7", "--%w", err)
	}
	return crowd{of, s, n}, nil
}

// A column is one field of a stream: text, or a number with fixed decimals.
type column struct {
	name string
	text bool
}

// A stream is rows that are made on all cores and written in order, whatever their number.
type stream struct {
	columns []column
	keys    int // first columns that say whose row it is
	pieces  int // each makes some rows
	rows    func(piece int) ([][]string, error)
}

// number prints with the decimals of its column, a plain minus, and no minus zero.
func decimals(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// write sends the rows in the format. A table is laid out as a whole, the others flow.
func (s stream) write(ctx context.Context, out io.Writer, f render.Format) error {
	encode := s.csv
	switch f {
	case render.JSON:
		encode = s.json
	case render.Text, render.Markdown:
		return s.table(ctx, out, f)
	default:
		if _, err := io.WriteString(out, strings.Join(s.names(), ",")+"\n"); err != nil {
			return err
		}
	}
	if f == render.JSON {
		if _, err := io.WriteString(out, "["); err != nil {
			return err
		}
	}
	err := inorder.Each(ctx, s.pieces, func(i int) ([]byte, error) {
		rows, err := s.rows(i)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		for j, r := range rows {
			encode(&b, r, i == 0 && j == 0)
		}
		return b.Bytes(), nil
	}, func(_ int, b []byte) error {
		_, err := out.Write(b)
		return err
	})
	if err == nil && f == render.JSON {
		_, err = io.WriteString(out, "\n]\n")
	}
	return called(err)
}

// called puts words to being called off.
func called(err error) error {
	if errors.Is(err, context.Canceled) {
		return &hinted{errors.New("interrupted: what was printed is right as far as it goes"), "the same command begins again"}
	}
	return err
}

func (s stream) names() []string {
	var all []string
	for _, c := range s.columns {
		all = append(all, c.name)
	}
	return all
}

// csv writes one row; no cell holds a comma or a quote.
func (s stream) csv(b *bytes.Buffer, row []string, _ bool) {
	for i, cell := range row {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(cell)
	}
	b.WriteByte('\n')
}

func (s stream) json(b *bytes.Buffer, row []string, first bool) {
	if !first {
		b.WriteByte(',')
	}
	b.WriteString("\n  {")
	for i, cell := range row {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(`"` + s.columns[i].name + `": `)
		switch {
		case s.columns[i].text:
			text, err := json.Marshal(cell)
			must(err)
			b.Write(text)
		case cell == "":
			b.WriteString("null")
		default:
			b.WriteString(cell)
		}
	}
	b.WriteByte('}')
}

func (s stream) table(ctx context.Context, out io.Writer, f render.Format) error {
	t := render.Table{Header: s.names(), Keys: s.keys, Wrap: -1}
	for _, c := range s.columns {
		t.Right = append(t.Right, !c.text)
	}
	err := inorder.Each(ctx, s.pieces, s.rows, func(_ int, rows [][]string) error {
		t.Rows = append(t.Rows, rows...)
		if len(t.Rows) > mostTabled {
			return usage("--format csv or json, which flow", "a table of more than %d rows: nobody can read it", mostTabled)
		}
		return nil
	})
	if err != nil {
		return called(err)
	}
	return render.Write(out, f, t, nil)
}

// pieces cuts n things into pieces of a fixed size and gives the bounds of each.
func pieces(n, size int) (count int, bounds func(piece int) (from, to int)) {
	return (n + size - 1) / size, func(piece int) (int, int) { return piece * size, min(n, (piece+1)*size) }
}

// tabled refuses at once what table would refuse in the middle.
func tabled(f render.Format, rows int) error {
	if slices.Contains([]render.Format{render.Text, render.Markdown}, f) && rows > mostTabled {
		return usage("--format csv or json, which flow", "--format %s: a table of %d rows; %d at most", f, rows, mostTabled)
	}
	return nil
}
