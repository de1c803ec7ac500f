package exercises

import (
	"encoding/binary"
	"fmt"
	"slices"

	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// How many people are looked at for a place in which a row of the branch table is wanted, how far off a guess may be before the person is played,
// and how many make up the shares of the rows. Source: [CHOICE-PACK].
const (
	looksAtCase = 12 // before another case of the same kind and difficulty is tried
	mostLooked  = 120
	guessBpm    = 10
	sampled     = 64
)

// A person is one draw.
type person struct {
	one  scenarios.Case
	seed scenarios.Seed
	band int // from 1; 0: must not begin
}

// quotas is how many persons of a try should be led to each row: one each where there are enough, the rest as the rows come by themselves.
func (d *Draft) quotas(ridden int) []int {
	q := make([]int, len(d.shares))
	left := ridden
	if ridden >= len(q) {
		for i := range q {
			q[i] = 1
		}
		left -= len(q)
	}
	got := make([]float64, len(q))
	for range left {
		best := 0
		for i, share := range d.shares {
			if share/(got[i]+1) > d.shares[best]/(got[best]+1) { // the largest quotient takes the next place
				best = i
			}
		}
		got[best]++
		q[best]++
	}
	return q
}

// sample finds how often each row comes by itself among the people who can come, and none is named here.
func (d *Draft) sample() {
	d.shares = make([]float64, len(d.plan.Rules.Bands))
	b := &body.Body{}
	var of []scenarios.Case
	for _, x := range d.slots {
		if x.stratum != scenarios.NotTested {
			of = append(of, d.cells[x.cell]...)
		}
	}
	if len(of) == 0 {
		return
	}
	for k := range sampled {
		one := of[k%len(of)]
		seed := scenarios.PackSeed(binary.LittleEndian.Uint64(d.mac(fmt.Sprintf("sample/%d", k))))
		row, _ := protocol.Branch(d.plan.Rules, one.Draw(seed).FirstStageHR(d.plan.Rules, b))
		d.shares[row] += 1.0 / sampled
	}
}

// people draws the persons of one try of student i so that the rows of the branch table come as the quotas say: those with something the matter
// first, as they fall, and the uneventful ones to fill what is missing.
func (d *Draft) people(b *body.Body, i, try int, slots []slot) []person {
	all := make([]person, len(slots))
	var order []int
	for j, x := range slots {
		if x.stratum != scenarios.NotTested {
			order = append(order, j)
			continue
		}
		at := place{i, try, j}
		all[j] = person{one: d.casesFor(at, x, nil)[0], seed: d.seed(at, 0)}
	}
	slices.SortStableFunc(order, func(p, q int) int { return rank(slots[p]) - rank(slots[q]) })
	missing := d.quotas(len(order))
	var met []string
	for _, j := range order {
		all[j] = d.find(b, place{i, try, j}, slots[j], missing, met)
		missing[all[j].band-1]--
		met = append(met, all[j].one.ID)
	}
	return all
}

// find draws the person of one place: the first who is led to a row that is missing, or else to the row that is over its quota by least. It begins
// with the case whose turn it is.
func (d *Draft) find(b *body.Body, at place, x slot, missing []int, met []string) person {
	of := d.casesFor(at, x, met)
	var best person
	for k := range mostLooked {
		p := person{one: of[k/looksAtCase%len(of)], seed: d.seed(at, k)}
		sc := p.one.Draw(p.seed)
		if best.band > 0 && !d.likely(sc.FirstStageGuess(d.plan.Rules), missing) {
			continue
		}
		row, _ := protocol.Branch(d.plan.Rules, sc.FirstStageHR(d.plan.Rules, b))
		p.band = row + 1
		if best.band == 0 || missing[row] > missing[best.band-1] {
			best = p
		}
		if missing[row] > 0 {
			break
		}
	}
	return best
}

// likely reports whether a guess lies near a row that is missing.
func (d *Draft) likely(hr unit.HR, missing []int) bool {
	low, _ := protocol.Branch(d.plan.Rules, hr-guessBpm)
	high, _ := protocol.Branch(d.plan.Rules, hr+guessBpm)
	return slices.ContainsFunc(missing[low:high+1], func(n int) bool { return n > 0 })
}

// rank is the order in which places are filled: the less the choice, the earlier.
func rank(x slot) int {
	if x.stratum == scenarios.Uneventful {
		return 1
	}
	return 0
}

// A place is one person's place in the class: student, try and slot, from 0.
type place struct{ student, try, slot int }

// casesFor lists the cases of the slot's cell, the one whose turn it is first: the turns go round, so that each case comes equally often in the
// class, none twice in a pack while there is another, and a further try has another one where there is one. Cases that were met in this pack, or
// are to be avoided, are left out while there is another.
func (d *Draft) casesFor(at place, x slot, met []string) []scenarios.Case {
	of := d.cells[x.cell]
	same := 0
	for _, y := range slices.Concat(d.slots, d.spare) {
		if y.cell == x.cell {
			same++
		}
	}
	first := d.place[at.student]*same + x.nth + at.try
	avoid := d.plan.Avoid[d.roster[at.student].Key]
	var all, rest []scenarios.Case
	for k := range of {
		c := of[(first+k)%len(of)]
		switch {
		case slices.Contains(met, c.ID):
		case slices.Contains(avoid, c.ID):
			rest = append(rest, c)
		default:
			all = append(all, c)
		}
	}
	switch {
	case len(all) > 0:
		return all
	case len(rest) > 0:
		return rest
	}
	return []scenarios.Case{of[first%len(of)]}
}

// seed is in the domain of packs. No two places of a class share one, but for a chance of 1 in 10^8.
func (d *Draft) seed(at place, look int) scenarios.Seed {
	return scenarios.PackSeed(binary.LittleEndian.Uint64(d.mac(fmt.Sprintf("seed/%s/%d/%d/%d", d.codes[at.student], at.try, at.slot, look))))
}
