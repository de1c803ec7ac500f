package skill

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// A Maker draws questions under one rulebook. It keeps the cases that it has read; it is not for two goroutines at once.
type Maker struct {
	book  grader.Rulebook
	rules map[string]grader.Rule
	cases map[string]scenarios.Case
	ids   []string
}

// NewMaker returns a maker of questions under the rulebook.
func NewMaker(b grader.Rulebook) *Maker {
	m := &Maker{book: b, rules: map[string]grader.Rule{}, cases: map[string]scenarios.Case{}, ids: scenarios.IDs()}
	for _, r := range grader.Rules() {
		m.rules[r.Name] = r
	}
	return m
}

// Item draws the question of a seed. The same skill, seed, level and rulebook give the same question. An error says that these rules leave no
// question of the kind.
func (m *Maker) Item(n Name, seed scenarios.Seed, level int) (*Item, error) {
	s, ok := Find(n)
	if !ok || level < 1 || level > Levels {
		panic(fmt.Sprintf("skill: no %q at level %d", n, level))
	}
	it := &Item{Skill: n, Seed: seed, Level: level, Kind: s.kindOf(seed, level)}
	if err := s.draw(m, it); err != nil {
		return nil, fmt.Errorf("skill %s, seed %d: %w", n, seed, err)
	}
	return it, nil
}

// stream is the generator of one purpose of an item.
func (it *Item) stream(label string) *rand.Rand {
	return it.Seed.Stream(fmt.Sprintf("skill/%s/%d/%s", it.Skill, it.Level, label))
}

// kindOf is the kind of question that a seed brings, without drawing the question itself.
func (s Skill) kindOf(seed scenarios.Seed, level int) string {
	kinds := s.kinds[level-1]
	whole := 0
	for _, k := range kinds {
		whole += k.weight
	}
	at := seed.Stream(fmt.Sprintf("skill/%s/%d/kind", s.Name, level)).IntN(whole)
	for _, k := range kinds {
		if at -= k.weight; at < 0 {
			return k.kind
		}
	}
	panic("skill: weights do not add up")
}

// block is how many questions are arranged together. Source: [WOLFE2006] blocks of forty with full feedback.
const block = 40

// Seeds arranges n questions of one level: in each block of forty the kinds come in their shares, in an order that the seed shuffles, so that
// none can be told from those before it for long and none stays away. The first seed is the one given.
func (s Skill) Seeds(seed scenarios.Seed, level, n int) []scenarios.Seed {
	var seeds []scenarios.Seed
	row := 0
	for b := 0; len(seeds) < n; b++ {
		order := s.order(seed, level, b)
		if b == 0 {
			bringForward(order, s.kindOf(seed, level))
		}
		waiting := map[string][]scenarios.Seed{}
		for _, kind := range order {
			for len(waiting[kind]) == 0 {
				next := seed.Row(row)
				row++
				k := s.kindOf(next, level)
				waiting[k] = append(waiting[k], next)
			}
			seeds = append(seeds, waiting[kind][0])
			waiting[kind] = waiting[kind][1:]
			if len(seeds) == n {
				break
			}
		}
	}
	return seeds
}

// order is a block of kinds in their shares, shuffled.
func (s Skill) order(seed scenarios.Seed, level, number int) []string {
	kinds := s.kinds[level-1]
	whole := 0
	for _, k := range kinds {
		whole += k.weight
	}
	order := make([]string, 0, block)
	for i := range block { // the kind into which the middle of each fortieth falls
		at := (2*i + 1) * whole
		for _, k := range kinds {
			if at -= 2 * block * k.weight; at < 0 {
				order = append(order, k.kind)
				break
			}
		}
	}
	r := seed.Stream(fmt.Sprintf("skill/%s/%d/order/%d", s.Name, level, number))
	r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	return order
}

// bringForward exchanges the first kind with the first place that has the wanted one.
func bringForward(order []string, kind string) {
	for i := range order {
		if order[i] == kind {
			order[0], order[i] = order[i], order[0]
			return
		}
	}
}

// A test is one whole test by the reference proctor, from which a question takes a moment.
type test struct {
	subject scenarios.Scenario
	played  *grader.Played
	closing exercises.HandedIn
}

// mostPeople is how many people are met at most before it is said that none has what is looked for.
const mostPeople = 200

// meet plays tests of the reference proctor with people of the cases that fit, one after another, until found takes one.
func (m *Maker) meet(r *rand.Rand, fits func(scenarios.Case) bool, found func(test) bool) error {
	tried := 0
	for met := 0; met < mostPeople; {
		c, err := m.load(m.ids[r.IntN(len(m.ids))])
		if err != nil {
			return err
		}
		seed := scenarios.Seed(r.Uint64N(uint64(scenarios.MaxSeed) + 1))
		if tried++; tried > 100*mostPeople {
			break
		}
		if !fits(c) {
			continue
		}
		met++
		sc := c.Draw(seed)
		played, err := grader.Play(m.book, sc)
		if err != nil {
			return err
		}
		events := played.Session.State().Events
		closing, ok := events[len(events)-1].Fact.(exercises.HandedIn)
		if ok && found(test{sc, played, closing}) {
			return nil
		}
	}
	return fmt.Errorf("nobody of %d people had what is looked for", mostPeople)
}

func (m *Maker) load(id string) (scenarios.Case, error) {
	if c, ok := m.cases[id]; ok {
		return c, nil
	}
	c, err := scenarios.Load(id)
	if err != nil {
		return c, err
	}
	m.cases[id] = c
	return c, nil
}

// asked lets rules of the grading look at what stands since a second, and returns what they found in the order of their names.
func (m *Maker) asked(state *exercises.State, since int, names ...string) []grader.Opportunity {
	c := grader.ReadState(m.book, state)
	var all []grader.Opportunity
	for _, name := range names {
		rule, ok := m.rules[name]
		if !ok {
			panic("skill: no rule " + name)
		}
		for _, o := range rule.Judge(m.book, c) {
			if o.AtS >= since {
				all = append(all, o)
			}
		}
	}
	return all
}

// decided is verdict for one decision: it is worth what the rule that it breaks most leaves.
func decided(found []grader.Opportunity, right Verdict) Verdict {
	v := verdict(found, right)
	for _, o := range found {
		v.Credit = min(v.Credit, o.Credit)
	}
	return v
}

// verdict makes a verdict of what the rules found: right when all were kept. right says what is told then, and what the findings do not say.
func verdict(found []grader.Opportunity, right Verdict) Verdict {
	if len(found) == 0 {
		panic("skill: no rule speaks of the answer")
	}
	v := right
	v.Right, v.Credit = true, 0
	for _, o := range found {
		v.Credit += o.Credit / float64(len(found))
		if o.Credit == 1 || o.Finding == nil {
			continue
		}
		if v.Right { // the first gives the reason
			v.Known, v.Did, v.Should, v.Why, v.Source = o.Finding.Known, o.Finding.Did, o.Finding.Should, o.Finding.Why, o.Finding.Sources
		} else if wrote, _ := strings.CutPrefix(o.Finding.Did, "You wrote "); !strings.Contains(v.Did, wrote) { // the same number under two rules is told once
			v.Did += " " + o.Finding.Did
		}
		v.Right = false
	}
	if v.Right {
		v.Credit = 1
	}
	return v
}
