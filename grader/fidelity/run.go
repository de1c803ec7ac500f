package fidelity

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kilopond/grader/inorder"
	"kilopond/scenarios"
)

// Options say what is simulated.
type Options struct {
	Seed  scenarios.Seed // of the first person of each study
	Quick bool           // fewer people: wider intervals
	Rows  []string       // ids; none: all
	// Progress is told, in order, how much of the work is done. Nil tells nobody.
	Progress func(done, of int)
}

// chunk is how many people are simulated in one piece of work.
const chunk = 16

// Run simulates the rows of the table. The same options give the same numbers on any number of cores.
func Run(ctx context.Context, o Options) ([]Row, error) {
	wanted, err := choose(o.Rows)
	if err != nil {
		return nil, err
	}
	type piece struct{ study, from, to int }
	var pieces []piece
	all := studies()
	records := make([][]record, len(all))
	for i, s := range all {
		if !slices.ContainsFunc(wanted, func(p Published) bool { return measureOf(p.ID).study == s.name }) {
			continue
		}
		n := s.people
		if o.Quick {
			n = s.quick
		}
		for from := 0; from < n; from += chunk {
			pieces = append(pieces, piece{i, from, min(n, from+chunk)})
		}
	}
	err = inorder.Each(ctx, len(pieces), func(i int) ([]record, error) {
		p := pieces[i]
		var some []record
		for j := p.from; j < p.to; j++ {
			if r := all[p.study].person(o.Seed.Row(j)); r != nil {
				some = append(some, r)
			}
		}
		return some, nil
	}, func(i int, some []record) error {
		records[pieces[i].study] = append(records[pieces[i].study], some...)
		if o.Progress != nil {
			o.Progress(i+1, len(pieces))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var rows []Row
	for _, p := range wanted {
		m := measureOf(p.ID)
		of := records[slices.IndexFunc(all, func(s study) bool { return s.name == m.study })]
		v, low, high := interval(of, m.value)
		if math.IsNaN(v) || math.IsNaN(low) {
			return nil, fmt.Errorf("row %s: too few of %d people came to it", p.ID, len(of))
		}
		rows = append(rows, Row{
			ID: p.ID, Quantity: p.Quantity, Population: p.Population, Unit: p.Unit, Published: p.Expected, Low: p.Low, High: p.High,
			Simulated: v, CILow: low, CIHigh: high, N: len(of), Holds: v >= p.Low && v <= p.High, Source: p.Source + "; " + p.HowKnown,
		})
	}
	return rows, nil
}

// choose picks the rows of the ids, in the order of the table.
func choose(ids []string) ([]Published, error) {
	table := Table()
	if len(ids) == 0 {
		return table, nil
	}
	var names []string
	for _, p := range table {
		names = append(names, p.ID)
	}
	for _, id := range ids {
		if !slices.Contains(names, id) {
			return nil, &NoRow{id, scenarios.Nearest(id, names)}
		}
	}
	return slices.DeleteFunc(table, func(p Published) bool { return !slices.Contains(ids, p.ID) }), nil
}

// A NoRow says that the table has no row of an id.
type NoRow struct{ ID, Near string }

func (n *NoRow) Error() string { return fmt.Sprintf("row %q: none of that id", n.ID) }

// measureOf is the measure of a row; a test holds the two tables together.
func measureOf(id string) measure {
	for _, m := range measures() {
		if m.id == id {
			return m
		}
	}
	panic("fidelity: no measure for row " + id)
}
