package fidelity

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// A Published is one row of the table: a statistic in print with the band that was set beside it before anything was simulated.
type Published struct {
	ID         string
	Quantity   string
	Population string
	Unit       string
	Expected   float64
	Low, High  float64
	Source     string
	HowKnown   string
}

// A Row is a published statistic beside the simulated one. Its interval is 95 %, of the simulation's sampling alone.
type Row struct {
	ID         string  `json:"id"`
	Quantity   string  `json:"quantity"`
	Population string  `json:"population"`
	Unit       string  `json:"unit"`
	Published  float64 `json:"published"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	Simulated  float64 `json:"simulated"`
	CILow      float64 `json:"ci_low"`
	CIHigh     float64 `json:"ci_high"`
	N          int     `json:"n"` // people, or paired trials, that the statistic rests on
	Holds      bool    `json:"holds"`
	Source     string  `json:"source"` // and how it was read
}

// fidelity.csv is the table given with the project's notes; more.csv holds rows found since. Their sources stand in each row.
//
//go:embed fidelity.csv
var given string

//go:embed more.csv
var found string

// Table returns the published rows in the order of the page.
func Table() []Published {
	return append(mustRead("fidelity.csv", given), mustRead("more.csv", found)...)
}

// mustRead reads a table that ships; a test holds it to its form.
func mustRead(name, text string) []Published {
	rows, err := read(text)
	if err != nil {
		panic("fidelity: " + name + ": " + err.Error())
	}
	return rows
}

func read(text string) ([]Published, error) {
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var all []Published
	for i, r := range records[1:] {
		p := Published{ID: r[0], Quantity: r[1], Population: r[2], Unit: r[3], Source: r[7], HowKnown: r[8]}
		for j, to := range []*float64{&p.Expected, &p.Low, &p.High} {
			if *to, err = strconv.ParseFloat(r[4+j], 64); err != nil {
				return nil, fmt.Errorf("row %d: %w", i+2, err)
			}
		}
		if !(p.Low < p.High) {
			return nil, fmt.Errorf("row %d: band %v to %v", i+2, p.Low, p.High)
		}
		all = append(all, p)
	}
	return all, nil
}
