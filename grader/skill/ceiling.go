package skill

import (
	"fmt"
	"math"
	"strconv"

	"kilopond/exercises"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

func ceilingSkill() Skill {
	number, reached := []share{{"number", 1}}, []share{{"reached", 1}, {"not reached", 1}}
	return Skill{
		Name: Ceiling, Asks: "Work out the ceiling, and see when a count has reached it.", N: 4,
		Levels: [Levels]string{"the ceiling in beats a minute", "the ceiling as a count", "a count against a ceiling that is given", "a count against the age alone"},
		kinds:  [Levels][]share{number, number, reached, {{"reached", 2}, {"not reached", 1}, {onePoint, 1}}},
		draw:   (*Maker).ceiling,
	}
}

// onePoint is a stage in the window after one below it, a larger step than is left below the ceiling: the next load is sure to reach it, and is set
// all the same, since the line needs a second point and an end wants a reason. Source: [PRACTICE-LAST-LOAD].
const onePoint = "one point in hand"

// ceiling draws somebody, and at the higher levels their last counts.
func (m *Maker) ceiling(it *Item) error {
	r := it.stream("draw")
	person, err := m.somebody(r, 18, 69)
	if err != nil {
		return err
	}
	if it.Level == 1 {
		person.AgeY = 20 + 5*r.IntN(10)
	}
	most, err := protocol.PredictedMaxHR(m.book.MaxHR, unit.Sex(person.Sex), unit.Age(person.AgeY))
	if err != nil {
		return err
	}
	p := &paper{book: m.book, subject: person}
	rest := int(float64(56+r.IntN(30)) / step(m.book))
	p.stageS = 60
	p.minute(0, 0, rest)
	p.items = 0
	p.events = p.events[:1] // felt, and written nowhere yet
	restHR := rate(m.book, rest)
	ceiling := protocol.Ceiling(m.book.Rules, most, restHR)
	it.Facts = []Fact{text(who(person) + fmt.Sprintf(" Resting pulse %s bpm.", plain(unit.Round(float64(restHR), 1))))}
	worked := m.ceilingWorked(person, restHR)
	if it.Level <= 2 {
		m.ceilingNumbers(it, p, worked)
		return nil
	}
	first := 1
	for !protocol.AtCeiling(m.book.Rules, rate(m.book, first), ceiling, true) {
		first++
	}
	// A beat below it an end is acceptable as well as going on, so nobody is asked there. Source: [CHOICE-NEAR-EDGE].
	beats, below := first, 0
	switch it.Kind {
	case "not reached":
		beats -= 2 + r.IntN(3)
	case onePoint:
		beats -= 2
		below = int(math.Ceil(float64(m.book.WindowLow)/step(m.book))) - 1 - r.IntN(2)
		if beats-below <= first-beats {
			return fmt.Errorf("between %v bpm and a ceiling of %.1f bpm there is no room for a step and one point", m.book.WindowLow, float64(ceiling))
		}
	}
	if it.Level == 3 {
		it.Facts = append(it.Facts, text(fmt.Sprintf("The ceiling is %s bpm.", plain(unit.Round(float64(ceiling), 2)))))
	}
	m.ceilingReached(it, p, below, beats, ceiling, worked)
	return nil
}

// ceilingWorked is the ceiling worked out step by step.
func (m *Maker) ceilingWorked(person exercises.Subject, rest unit.HR) string {
	p := protocol.Person{Sex: unit.Sex(person.Sex), Age: unit.Age(person.AgeY), RestHR: rest}
	steps := protocol.Estimate(m.book.Rules, p, nil).Steps
	seconds := m.book.Count.Seconds
	most, err := protocol.PredictedMaxHR(m.book.MaxHR, p.Sex, p.Age)
	if err != nil || len(steps) < 2 {
		panic("skill: no ceiling under these rules")
	}
	c := float64(protocol.Ceiling(m.book.Rules, most, rest))
	return fmt.Sprintf("%s. %s. As a count of %d s: %s × %d / 60 = %s beats.", steps[0], steps[1], seconds, plain(unit.Round(c, 2)), seconds, plain(unit.Round(c*float64(seconds)/60, 1)))
}

// ceilingNumbers asks for the numbers.
func (m *Maker) ceilingNumbers(it *Item, p *paper, worked string) {
	keys, rules := []exercises.Key{exercises.KeyMaxHR, exercises.KeyCeiling}, []string{"sum-max-hr", "sum-ceiling"}
	it.Ask = "What are the predicted maximum and the ceiling?"
	it.Boxes = []Box{{"predicted maximum", "bpm"}, {"ceiling", "bpm"}}
	if it.Level == 2 {
		keys, rules = []exercises.Key{exercises.KeyCeiling, exercises.KeyCeilingCount}, []string{"sum-ceiling", "sum-ceiling-count"}
		it.Ask = fmt.Sprintf("What is the ceiling, and how many beats is that in %d s?", m.book.Count.Seconds)
		it.Boxes = []Box{{"ceiling", "bpm"}, {"count", fmt.Sprintf("beats in %d s", m.book.Count.Seconds)}}
	}
	it.judge = func(a Answer) Verdict {
		p := p.copy()
		for i, key := range keys {
			p.write(key, strconv.FormatFloat(a.Numbers[i], 'f', -1, 64), 0, 0)
		}
		p.clock += 600
		p.add(exercises.PedallingStarted{})
		p.add(exercises.HandedIn{Truth: scenarios.Truth{Sex: p.subject.Sex, AgeY: p.subject.AgeY}})
		rule := m.rules[rules[1]]
		found := m.asked(p.state(), 0, rules...)
		v := verdict(found, Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
		v.Known, v.Should = worked, worked
		if !v.Right {
			v.Known, v.Did = "", sumsSaid(found)
		}
		return v
	}
}

// ceilingReached asks whether a count has reached it. below are the beats of a stage before it, below the window; 0 for none that is shown.
func (m *Maker) ceilingReached(it *Item, p *paper, below, beats int, ceiling unit.HR, worked string) {
	stage := 2
	p.pedal()
	whole := max(2, m.book.StageS/60)
	var rows [][]string
	ride := func(stage, beats, rise int) {
		p.stage(stage, 0.5+0.5*unit.Resistance(stage))
		for i := range whole {
			n := beats - min(rise, whole-1-i) // it rises by a beat a minute, which is steady where a beat's difference is
			p.minute(stage, i+1, n)
			rows = append(rows, []string{fmt.Sprint(stage), fmt.Sprint(i + 1), fmt.Sprint(n)})
		}
		p.clock += 2
	}
	before := "no stage before it lay in the window"
	if below > 0 {
		ride(stage, below, 0)
		stage++
		before = fmt.Sprintf("stage %d lay below the window", stage-1)
	}
	ride(stage, beats, 2)
	it.Facts = append(it.Facts, text(fmt.Sprintf("Stage %d. The person is well, and %s.", stage, before)),
		Fact{Table: &Table{[]string{"stage", "minute", fmt.Sprintf("beats in %d s", m.book.Count.Seconds)}, rows}})
	it.Ask = "Does the heart rate end the test?"
	it.Choices = []Choice{{"go", "it does not: on to the next stage"}, {"end", "it does: end the test"}}
	it.judge = func(a Answer) Verdict {
		p := p.copy()
		p.clock += 2
		if a.Choice == "go" {
			p.stage(stage+1, 0.5+0.5*unit.Resistance(stage+1))
			p.clock += 5
		} else {
			p.add(exercises.TestEnded{How: exercises.CoolDown, ResistanceKp: 0.5})
		}
		p.add(exercises.HandedIn{Truth: scenarios.Truth{Sex: p.subject.Sex, AgeY: p.subject.AgeY}})
		rule := m.rules["ceiling"]
		if it.Kind != "reached" {
			rule = m.rules["stage-count"]
		}
		v := decided(m.asked(p.state(), 0, "ceiling", "stage-count"), Verdict{Why: rule.WhyIn(m.book), Source: rule.Sources})
		v.Known = fmt.Sprintf("%d beats in %d s are %s bpm. %s", beats, m.book.Count.Seconds, plain(unit.Round(float64(rate(m.book, beats)), 1)), worked)
		v.Did = "You chose " + a.Choice + "."
		v.Should = "It is reached: end the test."
		switch {
		case it.Kind == onePoint:
			v.Should = fmt.Sprintf("It is not reached: go on. By the last step, %s bpm, the next load passes it: count early, and end at the first count that does.", plain(unit.Round(float64(beats-below)*step(m.book), 1)))
		case it.Kind != "reached":
			v.Should = "It is not reached: go on."
		case m.book.End == protocol.EndWithinTen && rate(m.book, beats) < ceiling:
			v.Should = "Steady within 10 bpm of it: by the rule of the house the test ends."
		}
		return v
	}
}
