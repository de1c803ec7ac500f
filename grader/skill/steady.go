package skill

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

func steadySkill() Skill {
	even := []share{{"steady", 1}, {"not steady", 1}}
	return Skill{
		Name: Steady, Asks: "Say whether a stage has settled or needs one more minute.", N: 6,
		Levels: [Levels]string{"far from the edge", "one beat from the edge, or at it by timed beats", "one beat from the edge, given as counts", "counts, and stages that were made longer"},
		kinds:  [Levels][]share{even, {{"steady", 2}, {"not steady", 2}, {atEdge, 1}}, even, {{"steady", 2}, {"not steady", 2}, {"no minute left", 1}}},
		draw:   (*Maker).steady,
	}
}

// atEdge is a stage whose last two minutes differ by just what the rule still allows, or by 1 bpm more: on exactly 5 the books differ.
const atEdge = "at the edge"

// apart are the largest difference of two counts, in beats, that is steady by the rules, and the smallest that is not.
func apart(b grader.Rulebook) (most, least int) {
	for least = 1; protocol.Agree(b.Steady, b.Count, rate(b, 100), rate(b, 100+least)); least++ {
		most = least
	}
	return most, least
}

// steady draws the counts of a stage.
func (m *Maker) steady(it *Item) error {
	r := it.stream("draw")
	person, err := m.somebody(r, 18, 24)
	if err != nil {
		return err
	}
	most, least := apart(m.book)
	if it.Kind == atEdge {
		m.steadyAtEdge(it, r, person)
		return nil
	}
	whole := m.book.StageS / 60
	extensions := 0
	if it.Level == 4 {
		extensions = r.IntN(max(1, m.book.MaxExtensions))
	}
	by := 0
	switch {
	case it.Kind == "no minute left":
		extensions = m.book.MaxExtensions
		by = least + r.IntN(2)
	case it.Kind == "steady" && it.Level == 1:
		by = r.IntN(max(1, most))
	case it.Kind == "steady":
		by = most
	case it.Level == 1:
		by = least + 1 + r.IntN(2)
	default:
		by = least
	}
	if it.Level >= 3 && extensions == 0 && r.IntN(3) == 0 {
		by = -by // a rate that falls counts like one that rises
	}
	// From the first minute on: what came before the last two never agreed, else no minute would have been added.
	beats := make([]int, whole+extensions)
	stage := 2 + r.IntN(3)
	beats[0] = int(float64(72+8*stage+r.IntN(20)) / step(m.book))
	for i := 1; i < len(beats); i++ {
		switch {
		case i == len(beats)-1:
			beats[i] = beats[i-1] + by
		case i >= whole-1:
			beats[i] = beats[i-1] + least + r.IntN(2)
		default:
			beats[i] = beats[i-1] + r.IntN(least+2)
		}
	}
	p := m.stagePaper(r, person, stage)
	rows := [][]string{}
	for i, n := range beats {
		p.minute(stage, i+1, n)
		row := []string{fmt.Sprint(i + 1), fmt.Sprint(n)}
		if it.Level < 3 {
			row = append(row, plain(unit.Round(float64(rate(m.book, n)), 1)))
		}
		rows = append(rows, row)
		if i+1 >= whole && i+1 < len(beats) {
			p.add(exercises.Extended{Stage: stage})
		}
	}
	header := []string{"minute", fmt.Sprintf("beats in %d s", m.book.Count.Seconds)}
	if it.Level < 3 {
		header = append(header, "bpm")
	}
	it.Facts = []Fact{text(who(person)), stageOverFact(stage, len(beats)), {Table: &Table{header, rows}}}
	if extensions > 0 {
		it.Facts = append(it.Facts, text(fmt.Sprintf("The stage has been made longer by %d min; the house allows %d.", extensions, m.book.MaxExtensions)))
	}
	n := len(beats)
	var minutes []string
	for i := n - 2; i < n; i++ {
		minutes = append(minutes, fmt.Sprintf("Minute %d: %d beats, %s bpm.", i+1, beats[i], plain(unit.Round(float64(rate(m.book, beats[i])), 1))))
	}
	m.steadyItem(it, p, stage, extensions, strings.Join(minutes, " "), rate(m.book, beats[n-2]), rate(m.book, beats[n-1]))
	return nil
}

// stagePaper is a paper on which a stage has begun and its pressure been taken.
func (m *Maker) stagePaper(r *rand.Rand, person exercises.Subject, stage int) *paper {
	p := &paper{book: m.book, subject: person}
	p.pedal()
	p.stage(stage, unit.Resistance(0.5*float64(stage)))
	p.clock += 61
	p.pressure(2*(70+r.IntN(10)), 2*(36+r.IntN(6)))
	return p
}

func stageOverFact(stage, minutes int) Fact {
	return text(fmt.Sprintf("Stage %d, %d:%02d. The pressure has been taken, all else is well.", stage, minutes, 2))
}

// steadyAtEdge draws a stage whose rates are of timed beats.
func (m *Maker) steadyAtEdge(it *Item, r *rand.Rand, person exercises.Subject) {
	most := unit.HR(0) // the largest whole difference that is steady
	for protocol.Agree(m.book.Steady, m.book.Count, 100, 100+most+1) {
		most++
	}
	whole := m.book.StageS / 60
	stage := 2 + r.IntN(3)
	rates := make([]unit.HR, whole)
	rates[whole-2] = unit.HR(84 + 8*stage + r.IntN(16))
	rates[whole-1] = rates[whole-2] + most + unit.HR(r.IntN(2))
	for i := whole - 3; i >= 0; i-- {
		rates[i] = rates[i+1] - unit.HR(1+r.IntN(6))
	}
	p := m.stagePaper(r, person, stage)
	var rows [][]string
	for i, hr := range rates {
		p.timed(stage, i+1, hr)
		rows = append(rows, []string{fmt.Sprint(i + 1), plain(float64(hr))})
	}
	it.Facts = []Fact{text(who(person)), stageOverFact(stage, whole), {Table: &Table{[]string{"minute", "bpm"}, rows}}, text(timedWords)}
	earlier, later := rates[whole-2], rates[whole-1]
	m.steadyItem(it, p, stage, 0, fmt.Sprintf("Minute %d: %s bpm. Minute %d: %s bpm.", whole-1, plain(float64(earlier)), whole, plain(float64(later))), earlier, later)
}

// steadyItem asks what comes after the last two minutes of a stage.
func (m *Maker) steadyItem(it *Item, p *paper, stage, extensions int, minutes string, earlier, later unit.HR) {
	it.Ask = "What now?"
	it.Choices = []Choice{{"next", "the next stage"}, {"minute", "one more minute at this load"}}
	apart := fmt.Sprintf(" %s bpm apart.", plain(unit.Round(max(float64(later-earlier), float64(earlier-later)), 1)))
	it.judge = func(a Answer) Verdict {
		p := p.copy()
		since := p.clock
		p.clock += 2
		if a.Choice == "next" {
			p.stage(stage+1, unit.Resistance(0.5*float64(stage+1)))
		} else {
			p.add(exercises.Extended{Stage: stage})
		}
		found := m.asked(p.state(), since, "steady-accepted", "extension-needless", "extensions-many")
		rule := m.rules["steady-accepted"]
		switch {
		case protocol.Agree(m.book.Steady, m.book.Count, earlier, later):
			rule = m.rules["extension-needless"]
		case !grader.OneMoreMinute(m.book, []unit.HR{earlier, later}, extensions):
			rule = m.rules["extensions-many"]
		}
		v := decided(found, Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
		v.Known = minutes + apart
		v.Did = chose(it.Choices, a.Choice)
		v.Should = steadyShould(m.book, earlier, later, extensions)
		return v
	}
}

// steadyShould says what the rules ask for after two minutes.
func steadyShould(b grader.Rulebook, earlier, later unit.HR, extensions int) string {
	words := strings.TrimSuffix(grader.SteadyWords(b.Steady), ".")
	switch {
	case protocol.Agree(b.Steady, b.Count, earlier, later):
		return words + ": the stage has settled, go on."
	case grader.OneMoreMinute(b, []unit.HR{earlier, later}, extensions):
		return words + ": one more minute at the same load."
	}
	return words + ". But the stage has all the minutes that the house allows: go on, and mark the stage."
}
