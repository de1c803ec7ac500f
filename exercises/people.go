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
	mostLooked     = 200 // for an uneventful person, of whom every row can come
	mostLookedElse = 4
	guessBpm       = 10
	sampled        = 64
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
		all[j] = person{one: d.caseFor(i, try, x), seed: d.seed(i, try, j, 0)}
	}
	slices.SortStableFunc(order, func(p, q int) int { return rank(slots[p]) - rank(slots[q]) })
	missing := d.quotas(len(order))
	for _, j := range order {
		all[j] = d.find(b, i, try, j, slots[j], missing)
		missing[all[j].band-1]--
	}
	return all
}

// find draws the person of one place: the first who is led to a row that is missing, or else to the row that is over the quota by least.
func (d *Draft) find(b *body.Body, i, try, j int, x slot, missing []int) person {
	one := d.caseFor(i, try, x)
	looks, guess := mostLookedElse, false
	if x.stratum == scenarios.Uneventful {
		looks, guess = mostLooked, true
	}
	var best person
	for k := range looks {
		p := person{one: one, seed: d.seed(i, try, j, k)}
		sc := one.Draw(p.seed)
		if guess && best.band > 0 && !d.likely(sc.FirstStageGuess(d.plan.Rules), missing) {
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

// caseFor goes round the cases of the slot's cell, so that each comes equally often in the class, none twice in a pack while there is another, and
// a further try has another one where there is one. Cases to be avoided are passed over while there is another.
func (d *Draft) caseFor(i, try int, x slot) scenarios.Case {
	of := d.cells[x.cell]
	same := 0
	for _, y := range slices.Concat(d.slots, d.spare) {
		if y.cell == x.cell {
			same++
		}
	}
	at := d.place[i]*same + x.nth + try
	avoid := d.plan.Avoid[d.roster[i].Key]
	for k := range of {
		if c := of[(at+k)%len(of)]; !slices.Contains(avoid, c.ID) {
			return c
		}
	}
	return of[at%len(of)]
}

// seed is in the domain of packs. No two places of a class share one, but for a chance of 1 in 10^8.
func (d *Draft) seed(i, try, slot, look int) scenarios.Seed {
	return scenarios.PackSeed(binary.LittleEndian.Uint64(d.mac(fmt.Sprintf("seed/%s/%d/%d/%d", d.codes[i], try, slot, look))))
}
