package skill

import (
	"fmt"
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
		Levels: [Levels]string{"far from the edge", "one beat from the edge", "one beat from the edge, given as counts", "counts, and stages that were made longer"},
		kinds:  [Levels][]share{even, even, even, {{"steady", 2}, {"not steady", 2}, {"no minute left", 1}}},
		draw:   (*Maker).steady,
	}
}

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
	beats[0] = int(float64(80+r.IntN(20)) / step(m.book))
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
	stage := 2 + r.IntN(3)
	p := &paper{book: m.book, subject: person}
	p.pedal()
	p.stage(stage, unit.Resistance(0.5*float64(stage)))
	p.clock += 61
	p.pressure(2*(70+r.IntN(10)), 2*(36+r.IntN(6)))
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
	it.Facts = []Fact{text(who(person)), text(fmt.Sprintf("Stage %d, %d:%02d. The pressure has been taken, all else is well.", stage, len(beats), 2)), {Table: &Table{header, rows}}}
	if extensions > 0 {
		it.Facts = append(it.Facts, text(fmt.Sprintf("The stage has been made longer by %d min; the house allows %d.", extensions, m.book.MaxExtensions)))
	}
	it.Ask = "What now?"
	it.Choices = []Choice{{"next", "the next stage"}, {"minute", "one more minute at this load"}}
	n := len(beats)
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
		earlier, later := rate(m.book, beats[n-2]), rate(m.book, beats[n-1])
		known := fmt.Sprintf("Minute %d: %d beats, %s bpm. Minute %d: %d beats, %s bpm. %s apart.", n-1, beats[n-2], plain(unit.Round(float64(earlier), 1)),
			n, beats[n-1], plain(unit.Round(float64(later), 1)), plain(unit.Round(max(float64(later-earlier), float64(earlier-later)), 1)))
		rule := m.rules["steady-accepted"]
		v := decided(found, Verdict{Why: rule.Why, Source: rule.Sources})
		v.Known = known
		v.Should = steadyShould(m.book, earlier, later, extensions)
		return v
	}
	return nil
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
