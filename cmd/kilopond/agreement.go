package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader/stats"
)

// largestPairs bounds the file of pairs, in bytes: nobody reads a million readings by hand.
const largestPairs = 32 << 20

func newAgreement() *cobra.Command {
	c := &cobra.Command{
		Use:   "agreement FILE.csv",
		Short: "How far paired readings differ: bias, limits of agreement, typical error",
		Long: "How far paired readings of the same thing differ. FILE.csv has two columns, first and second reading, a header or none; - reads\n" +
			"standard input. Differences are first minus second. What the pairs cannot tell is left empty.\n\n" +
			"Limits of agreement are bias ± 1.96 SD (divisor n − 1); intervals are 95 %, by t, with √3·SD/√n for a limit. The typical error is\n" +
			"SD/√2; two readings differ by less than the coefficient of repeatability, 1.96 SD, 19 times in 20.",
		Args: args(cobra.ExactArgs(1), "kilopond agreement pairs.csv"),
	}
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		first, second, err := readPairs(c.InOrStdin(), given[0])
		if err != nil {
			return err
		}
		a := stats.Agree(first, second)
		return render.Write(c.OutOrStdout(), f, agreementTable(a, f), a)
	}
	return c
}

// readPairs reads the two columns. Every row that is wrong is named.
func readPairs(stdin io.Reader, name string) (first, second []float64, err error) {
	const hint = "two numbers a line, for example 112,116"
	what, data := name, []byte(nil)
	if name == "-" {
		what = "standard input"
		data, err = io.ReadAll(io.LimitReader(stdin, largestPairs+1))
		if err == nil && len(data) > largestPairs {
			err = &hinted{fmt.Errorf("%s: more than %d MB", what, largestPairs>>20), hint}
		}
	} else {
		data, err = readSmall(name, largestPairs)
	}
	if err != nil {
		return nil, nil, err
	}
	if !utf8.Valid(data) {
		return nil, nil, &hinted{fmt.Errorf("%s: no text in UTF-8: save the file again as “CSV UTF-8”", what), hint}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	line1, _, _ := bytes.Cut(data, []byte("\n"))
	comma := bytes.ContainsRune(line1, ';') // a spreadsheet in a country that writes 3,5
	if comma {
		r.Comma = ';'
	}
	var wrong []error
	for n := 0; ; n++ {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			wrong = append(wrong, fmt.Errorf("%s%s", what, csvWords(err)))
			break
		}
		line, _ := r.FieldPos(0)
		x, y, err := pair(row, comma)
		switch {
		case err == nil:
			first, second = append(first, x), append(second, y)
		case n > 0 || len(row) != 2 || number(row[0], comma) != nil || number(row[1], comma) != nil: // else it is a header
			wrong = append(wrong, fmt.Errorf("%s, line %d: %w", what, line, err))
		}
		if len(wrong) >= 20 {
			break
		}
	}
	if len(wrong) > 0 {
		return nil, nil, &hinted{errors.Join(wrong...), hint}
	}
	if len(first) == 0 {
		return nil, nil, &hinted{fmt.Errorf("%s: no pair of readings", what), hint}
	}
	return first, second, nil
}

func pair(row []string, comma bool) (x, y float64, err error) {
	if len(row) != 2 {
		return 0, 0, fmt.Errorf("columns: %d, not 2", len(row))
	}
	a, b := number(row[0], comma), number(row[1], comma)
	for i, p := range []*float64{a, b} {
		if p == nil {
			return 0, 0, fmt.Errorf("column %d, %q, is not a number", i+1, row[i])
		}
	}
	return *a, *b, nil
}

// number reads a finite number of ordinary size, nil when it is none.
func number(text string, comma bool) *float64 {
	text = strings.TrimSpace(text)
	x, err := decimal(text)
	if err != nil || math.Abs(x) > 1e12 || !comma && strings.Contains(text, ",") {
		return nil
	}
	return &x
}

// agreementTable is one row in CSV, and a line a quantity where people read.
func agreementTable(a stats.Agreement, f render.Format) render.Table {
	type cell struct{ name, value string }
	one := func(name string, x *float64) cell {
		if x == nil {
			return cell{name, ""}
		}
		return cell{name, strconv.FormatFloat(*x, 'f', 4, 64)}
	}
	cells := []cell{{"n", strconv.Itoa(a.N)}, one("bias", &a.Bias), one("sd_diff", a.SD), one("loa_low", a.LoALow), one("loa_high", a.LoAHigh)}
	for _, i := range []struct {
		name string
		ci   *[2]float64
	}{{"bias_ci", a.BiasCI}, {"loa_low_ci", a.LoALowCI}, {"loa_high_ci", a.LoAHighCI}} {
		var low, high *float64
		if i.ci != nil {
			low, high = &i.ci[0], &i.ci[1]
		}
		cells = append(cells, one(i.name+"_low", low), one(i.name+"_high", high))
	}
	cells = append(cells, one("typical_error", a.TypicalError), one("coefficient_of_repeatability", a.Repeatability), one("r", a.R),
		one("icc_2_1", a.ICC21), one("icc_3_1", a.ICC31))
	if f == render.CSV {
		t := render.Table{Wrap: -1, Rows: [][]string{{}}}
		for _, c := range cells {
			t.Header, t.Rows[0] = append(t.Header, c.name), append(t.Rows[0], c.value)
		}
		return t
	}
	t := render.Table{Header: []string{"quantity", "value"}, Right: []bool{false, true}, Wrap: -1}
	for _, c := range cells {
		t.Rows = append(t.Rows, []string{c.name, strings.Replace(c.value, "-", "−", 1)})
	}
	return t
}
