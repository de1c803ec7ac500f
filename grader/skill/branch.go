package skill

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// mostBands is how many rows of a table are told apart when questions are arranged; a rulebook with fewer meets its rows more often.
const mostBands = 4

func branchSkill() Skill {
	var bands []share
	for i := range mostBands {
		bands = append(bands, share{fmt.Sprintf("row %d", i+1), 1})
	}
	var later []share
	for _, b := range bands {
		later = append(later, b, share{b.kind + ", a later stage", 1})
	}
	return Skill{
		Name: Branch, Asks: "Set the load of the next stage by the heart rate of the first.", N: 6,
		Levels: [Levels]string{"inside a band", "one beat from the edge of a band, or at it by timed beats", "counts, and two minutes that differ", "counts, and later stages"},
		kinds:  [Levels][]share{bands, bands, bands, later},
		draw:   (*Maker).branch,
	}
}

// slowest and fastest are the ends of the first-stage heart rates that are met, in bpm. Source: [CHOICE-SKILL-LEVELS].
const slowest, fastest = 62, 132

// countsOf are the counts, in beats, that the rules put into a band, slowest first.
func countsOf(b grader.Rulebook, band int) []int {
	var all []int
	for beats := int(slowest / step(b)); float64(rate(b, beats)) <= fastest; beats++ {
		if i, _ := protocol.Branch(b.Rules, rate(b, beats)); i == band {
			all = append(all, beats)
		}
	}
	return all
}

// branch draws the minutes of a first stage, and at level 4 the stages up to a later one.
func (m *Maker) branch(it *Item) error {
	r := it.stream("draw")
	person, err := m.somebody(r, 18, 24)
	if err != nil {
		return err
	}
	var row int
	if _, err := fmt.Sscanf(it.Kind, "row %d", &row); err != nil {
		panic("skill: " + err.Error())
	}
	band := (row - 1) % len(m.book.Bands)
	inBand := countsOf(m.book, band)
	if len(inBand) == 0 {
		return fmt.Errorf("no count of %d s falls into band %d", m.book.Count.Seconds, band+1)
	}
	if it.Level == 2 && r.IntN(2) == 0 && m.branchTimed(it, r, person, band) {
		return nil
	}
	var last int
	if n := len(inBand); it.Level == 1 && n > 2 {
		last = inBand[1+r.IntN(n-2)]
	} else if it.Level == 1 {
		last = inBand[n/2]
	} else {
		edges := []int{inBand[0], inBand[n-1]}
		if band == 0 {
			edges = edges[1:]
		} else if band == len(m.book.Bands)-1 {
			edges = edges[:1]
		}
		last = edges[r.IntN(len(edges))]
	}
	most, _ := apart(m.book)
	before := last
	if it.Level >= 3 && most > 0 { // the minute before points to the next band where it can
		before = last - most
		if slices.Contains(inBand, before) && !slices.Contains(inBand, last+most) {
			before = last + most
		}
	}
	whole := max(2, m.book.StageS/60)
	p := &paper{book: m.book, subject: person}
	p.pedal()
	beats := make([]int, whole)
	for i := range beats {
		beats[i] = before
	}
	beats[whole-1] = last
	if whole > 2 {
		beats[0] = before - 1
	}
	p.stage(1, m.book.FirstWorkRate.Resistance(m.book.Cadence))
	header := []string{"stage", "load, kp", "minute", fmt.Sprintf("beats in %d s", m.book.Count.Seconds)}
	if it.Level < 3 {
		header = append(header, "bpm")
	}
	var rows [][]string
	for i, n := range beats {
		p.minute(1, i+1, n)
		line := []string{"1", plain(unit.Round(float64(m.book.FirstWorkRate.Resistance(m.book.Cadence)), 2)), fmt.Sprint(i + 1), fmt.Sprint(n)}
		if it.Level < 3 {
			line = append(line, plain(unit.Round(float64(rate(m.book, n)), 1)))
		}
		rows = append(rows, line)
	}
	chosen, _ := protocol.Branch(m.book.Rules, protocol.StageHR(m.book.BranchHR, []unit.HR{rate(m.book, before), rate(m.book, last)}))
	next := 2
	if it.Kind != fmt.Sprintf("row %d", row) {
		next = 3 + r.IntN(3)
		for s := 2; s < next; s++ {
			load := protocol.WorkRateOfStage(m.book.Rules, chosen, s).Resistance(m.book.Cadence)
			p.clock += 2
			p.stage(s, load)
			now := last + 3*(s-1)
			for i := range whole {
				p.minute(s, i+1, now)
			}
			rows = append(rows, []string{fmt.Sprint(s), plain(unit.Round(float64(load), 2)), fmt.Sprint(whole), fmt.Sprint(now)})
		}
	}
	it.Facts = []Fact{text(who(person)), {Table: &Table{header, rows}}}
	return m.branchItem(it, p, chosen, next, rate(m.book, before), rate(m.book, last))
}

// branchTimed draws a first stage whose rates are of timed beats and end on the first or the last whole rate of a band; false when the house's band has none.
func (m *Maker) branchTimed(it *Item, r *rand.Rand, person exercises.Subject, band int) bool {
	var in []unit.HR
	for hr := unit.HR(slowest); hr <= fastest; hr++ {
		if i, _ := protocol.Branch(m.book.Rules, hr); i == band {
			in = append(in, hr)
		}
	}
	if len(in) == 0 || len(m.book.Bands) < 2 {
		return false
	}
	first, last := in[0], in[len(in)-1]
	edge := first
	if band == 0 || band < len(m.book.Bands)-1 && r.IntN(2) == 0 {
		edge = last
	}
	rates := make([]unit.HR, max(2, m.book.StageS/60))
	n := len(rates)
	rates[n-2], rates[n-1] = edge, edge
	if edge == last && m.book.BranchHR == protocol.MeanLastTwo {
		rates[n-1]++ // the mean lies between two whole rates, where no printed band does
	}
	for i := range n - 2 {
		rates[i] = edge - unit.HR(1+r.IntN(4))
	}
	p := &paper{book: m.book, subject: person}
	p.pedal()
	load := m.book.FirstWorkRate.Resistance(m.book.Cadence)
	p.stage(1, load)
	var rows [][]string
	for i, hr := range rates {
		p.timed(1, i+1, hr)
		rows = append(rows, []string{"1", plain(unit.Round(float64(load), 2)), fmt.Sprint(i + 1), plain(float64(hr))})
	}
	it.Facts = []Fact{text(who(person)), {Table: &Table{[]string{"stage", "load, kp", "minute", "bpm"}, rows}}, text(timedWords)}
	chosen, _ := protocol.Branch(m.book.Rules, protocol.StageHR(m.book.BranchHR, rates[n-2:]))
	return m.branchItem(it, p, chosen, 2, rates[n-2], rates[n-1]) == nil
}

// branchItem asks for the load of a stage.
func (m *Maker) branchItem(it *Item, p *paper, chosen, next int, before, last unit.HR) error {
	due := protocol.WorkRateOfStage(m.book.Rules, chosen, next)
	it.Facts = append(it.Facts, text("Every stage was steady, and nothing speaks against going on."))
	if due.Resistance(m.book.Cadence) > instrument.MaxResistance {
		return fmt.Errorf("stage %d needs more than the brake has", next)
	}
	it.Ask = fmt.Sprintf("What is the load of stage %d? In kp, or in kg·m/min.", next)
	it.Boxes = []Box{{"load", "kp or kg·m/min"}}
	it.judge = func(a Answer) Verdict {
		p := p.copy()
		p.clock += 2
		load := unit.Resistance(a.Numbers[0])
		if load > instrument.MaxResistance { // no brake goes so far: a work rate was meant
			load = unit.WorkRate(a.Numbers[0]).Resistance(m.book.Cadence)
		}
		p.stage(next, load)
		name := "branch-column"
		if next > 2 {
			name = "later-loads"
		}
		rule := m.rules[name]
		v := decided(m.asked(p.state(), p.clock, name), Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
		v.Known = branchKnown(m.book, chosen, before, last)
		v.Should = fmt.Sprintf("Stage %d: %s kg·m/min, %s kp.", next, plain(unit.Round(float64(due), 0)), plain(unit.Round(float64(due.Resistance(m.book.Cadence)), 2)))
		return v
	}
	return nil
}

// branchKnown says which band a first stage chooses, and its column.
func branchKnown(b grader.Rulebook, band int, before, last unit.HR) string {
	hr := protocol.StageHR(b.BranchHR, []unit.HR{before, last})
	which := "The last minute of stage 1"
	if b.BranchHR == protocol.MeanLastTwo {
		which = "The mean of the last two minutes of stage 1"
	}
	column := ""
	for i, w := range b.Bands[band].WorkRates {
		if i > 0 {
			column += ", "
		}
		column += plain(float64(w))
	}
	return fmt.Sprintf("%s is %s bpm: %s. Its column is %s kg·m/min, then %s more each stage.", which, plain(unit.Round(float64(hr), 1)), bandWords(b, band), column, plain(float64(b.StepAfterTable)))
}

// bandWords names a band by its edges.
func bandWords(b grader.Rulebook, band int) string {
	low := ""
	if band > 0 {
		if edge := b.Bands[band-1]; edge.Below > 0 {
			low = fmt.Sprintf("from %s", plain(float64(edge.Below)))
		} else {
			low = fmt.Sprintf("above %s", plain(float64(edge.UpTo)))
		}
	}
	high := ""
	switch edge := b.Bands[band]; {
	case edge.Below > 0:
		high = fmt.Sprintf("below %s", plain(float64(edge.Below)))
	case edge.UpTo > 0:
		high = fmt.Sprintf("up to %s", plain(float64(edge.UpTo)))
	}
	switch {
	case low == "":
		return high
	case high == "":
		return low
	}
	return low + ", " + high
}
