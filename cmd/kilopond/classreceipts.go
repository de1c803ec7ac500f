package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"kilopond/exercises"
)

// A handedReceipt is a receipt as a student gave it, before the file.
type handedReceipt struct {
	line    int
	who     string // key or code
	receipt exercises.Receipt
}

// receiptsFlag reads the list that --receipts names; commands without the flag have none.
func receiptsFlag(c *cobra.Command) (path string, given []handedReceipt, err error) {
	if c.Flags().Lookup("receipts") == nil {
		return "", nil, nil
	}
	path, err = c.Flags().GetString("receipts")
	must(err)
	if path == "" {
		return "", nil, nil
	}
	given, err = readReceipts(path)
	return path, given, err
}

// mostReceiptBytes bounds the list of receipts.
const mostReceiptBytes = 8 << 20

const receiptsHint = "two columns, key or code and receipt, for example 7K2M-QX4P,1234 5678 9012"

func readReceipts(path string) ([]handedReceipt, error) {
	data, err := readSmall(path, mostReceiptBytes)
	if err != nil {
		return nil, &hinted{fmt.Errorf("--receipts: %w", err), receiptsHint}
	}
	return parseReceipts(path, data)
}

// parseReceipts reads a CSV of two columns, who (key or code) and receipt, a heading or none. Every line that is wrong is named.
func parseReceipts(path string, data []byte) ([]handedReceipt, error) {
	if !utf8.Valid(data) {
		return nil, &hinted{fmt.Errorf("--receipts %s: no text in UTF-8: save the file again as “CSV UTF-8”", path), receiptsHint}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	if first, _, _ := strings.Cut(text, "\n"); strings.Contains(first, ";") {
		r.Comma = ';'
	}
	rows, err := r.ReadAll()
	if err != nil {
		return nil, &hinted{fmt.Errorf("--receipts %s%s", path, csvWords(err)), receiptsHint}
	}
	var all []handedReceipt
	var wrong []error
	for i, row := range rows {
		if len(row) != 2 {
			wrong = append(wrong, fmt.Errorf("%s, row %d: columns: %d, not 2", path, i+1, len(row)))
			continue
		}
		receipt, err := exercises.ParseReceipt(row[1])
		who := strings.TrimSpace(row[0])
		switch {
		case err != nil && i == 0 && !strings.ContainsAny(row[1], "0123456789"): // a heading
		case err != nil:
			wrong = append(wrong, fmt.Errorf("%s, row %d: %q: %w", path, i+1, row[1], err))
		case who == "":
			wrong = append(wrong, fmt.Errorf("%s, row %d: whose receipt this is does not stand there", path, i+1))
		default:
			all = append(all, handedReceipt{i + 1, who, receipt})
		}
	}
	if len(wrong) > 0 {
		return nil, &hinted{errors.Join(wrong[:min(len(wrong), 20)]...), receiptsHint}
	}
	return all, nil
}

// compareReceipts sets receipts beside the files: a file whose receipt its student did not give may have been rewritten since; a receipt without
// a file is missing one. It returns what has no file to stand beside.
func compareReceipts(path string, given []handedReceipt, files []marked) []problem {
	of := map[string][]exercises.Receipt{}
	for _, g := range given {
		of[g.who] = append(of[g.who], g.receipt)
	}
	there := map[exercises.Receipt]bool{}
	for i := range files {
		f := &files[i]
		if f.receipt == "" {
			continue
		}
		there[f.receipt] = true
		own := append(slices.Clone(of[f.student]), of[f.code]...)
		if f.graded && len(own) > 0 && !slices.Contains(own, f.receipt) {
			f.say("other-receipt", 0, "its receipt is %s, and %s gave others: it may have been rewritten since, or never been read out; ask", f.receipt, f.student)
		}
	}
	var missing []problem
	for _, g := range given {
		if !there[g.receipt] {
			line := g.line
			missing = append(missing, problem{File: path, Student: g.who, Kind: "no-file", Line: &line,
				What: fmt.Sprintf("receipt %s of %s: no file that was given has it", g.receipt, g.who)})
		}
	}
	return missing
}
