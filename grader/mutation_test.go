package grader

import (
	"encoding/json"
	"os"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// What the grading must reach over all kinds of mistake and all styles. Our choice: one miss in a hundred is left to what the trade leaves open.
const (
	leastNamed = 99.0 // % of the planted mistakes named by the right rule
	mostExtra  = 0.5  // % of the attempts with a finding besides
)

// fewSeeds is how many seeds of a kind and style are tried in every run of the tests; the large run is asked for by MUTATION.
const fewSeeds = 1

// A tally is what came of one kind of mistake in one style.
type tally struct {
	kind, style           string
	planted, named, extra int
	seen                  []string // what was missed and what was found besides, for a reader
}

// manySeeds is the number of seeds that the large run was asked for; 0 when it was not.
func manySeeds() int {
	n, _ := strconv.Atoi(os.Getenv("MUTATION"))
	return n
}

// TestMutation plants each mistake alone into attempts that were right until then, in each honest style, and asks who found it.
//
// MUTATION=200 go test ./grader -run Mutation -timeout 3h is the large run: 200 seeds of each kind and style. It writes testdata/mutation.csv. A seed
// over all kinds and styles takes about two seconds of one processor.
func TestMutation(t *testing.T) {
	seeds := max(fewSeeds, manySeeds())
	if manySeeds() > 0 { // plays are short and leave nothing behind: a gibibyte between two collections costs nothing
		defer debug.SetGCPercent(debug.SetGCPercent(-1))
		defer debug.SetMemoryLimit(debug.SetMemoryLimit(1 << 30))
	}
	study := newStudy(t)
	rows := study.run(seeds)
	planted, named, extra := 0, 0, 0
	for _, r := range rows {
		planted, named, extra = planted+r.planted, named+r.named, extra+r.extra
		for _, line := range r.seen {
			t.Log(line)
		}
	}
	if planted < len(mistakeKinds())*3*seeds {
		t.Errorf("%d mistakes were planted: too few to say anything", planted)
	}
	t.Logf("%d planted, %.2f %% named, %.2f %% with a finding besides", planted, percent(named, planted), percent(extra, planted))
	if percent(named, planted) < leastNamed || percent(extra, planted) > mostExtra {
		t.Errorf("want at least %v %% named and at most %v %% with a finding besides", leastNamed, mostExtra)
	}
	if manySeeds() > 0 {
		writeMutations(t, rows)
	}
}

// A study holds what its plays share: cases, and which attempts are right before a mistake is planted.
type study struct {
	cases map[caseID]scenarios.Case
	mu    sync.Mutex
	right map[rightKey]bool
	only  string // a part of kind/style, to look at some of it
}

type rightKey struct {
	id         caseID
	style, set string
	seed       scenarios.Seed
}

// A bench is what one worker keeps from play to play: how the people of a case speak, and the house of one row.
type bench struct {
	words  map[caseID]*lexicon
	sets   [2]string
	book   Rulebook
	asJSON json.RawMessage
	hash   string
}

// under makes the house's rulebook with the settings of a style and of a mistake.
func (b *bench) under(sets [2]string) {
	if b.hash == "" || sets != b.sets {
		b.sets, b.book = sets, bookOf(sets[:]...)
		b.asJSON, b.hash = b.book.JSON(), b.book.Hash()
	}
}

// play plays one person of a case under the house's rulebook.
func (b *bench) play(c scenarios.Case, seed scenarios.Seed, h habit) (*student, error) {
	id := caseID(c.ID)
	if b.words[id] == nil {
		b.words[id] = newLexicon(c)
	}
	p := NewProctor(b.book)
	p.caseID, p.words = c.ID, b.words[id]
	scene := c.Draw(seed)
	return attemptBy(p, scene, exercises.NewHeader(scene, b.asJSON, b.hash, "demo", false), h)
}

func newStudy(t testing.TB) *study {
	s := &study{cases: map[caseID]scenarios.Case{}, right: map[rightKey]bool{}, only: os.Getenv("MUTATION_ONLY")}
	for _, m := range mistakeKinds() {
		s.cases[m.caseID] = mustCase(t, string(m.caseID))
	}
	return s
}

// run plays all kinds in all styles, on two processors' worth of workers; the rows come in a fixed order.
func (s *study) run(seeds int) []tally {
	var rows []tally
	all, ways := mistakeKinds(), mutationStyles()
	for _, m := range all {
		for _, w := range ways {
			rows = append(rows, tally{kind: m.habit, style: w.name})
		}
	}
	var workers sync.WaitGroup
	next := make(chan int)
	for range 2 {
		workers.Add(1)
		go func() {
			defer workers.Done()
			own := &bench{words: map[caseID]*lexicon{}}
			for i := range next {
				m, w := all[i/len(ways)], ways[i%len(ways)]
				if seeds <= fewSeeds && (i/len(ways)+i)%3 > 0 {
					continue // a small run takes every third style of a kind
				}
				if strings.Contains(m.habit+"/"+w.name, s.only) {
					s.fill(own, &rows[i], m, w, seeds, i)
				}
			}
		}()
	}
	for i := range rows {
		next <- i
	}
	close(next)
	workers.Wait()
	return rows
}

// fill tries one kind in one style. A small run takes other people for each row.
func (s *study) fill(own *bench, row *tally, m mistake, w style, seeds, i int) {
	from := scenarios.Seed(0)
	tries := seeds
	if seeds <= fewSeeds {
		from, tries = scenarios.Seed(i%60), 12 // until it could be made
	}
	own.under([2]string{w.set, m.set})
	for seed := from; seed < from+scenarios.Seed(tries) && row.planted < seeds; seed++ {
		s.plant(own, row, m, w, seed)
	}
}

// bookOf is the house's rulebook with the settings of a style and of a mistake.
func bookOf(sets ...string) Rulebook {
	book := Default()
	for _, set := range sets {
		if set == "" {
			continue
		}
		if err := book.Set(set); err != nil {
			panic(err)
		}
	}
	return book
}

// plant plays one mistake on one person and notes who found it.
func (s *study) plant(own *bench, row *tally, m mistake, w style, seed scenarios.Seed) {
	book, c := own.book, s.cases[m.caseID]
	if !s.rightWithout(own, c, w, m, seed) {
		return
	}
	p := &planting{style: w.habit(), mistake: habitOf(m.habit)}
	st, err := own.play(c, seed, p.do)
	if err != nil {
		row.seen = append(row.seen, row.kind+"/"+row.style+": "+err.Error())
		return
	}
	if p.made == 0 {
		return // the place for the mistake did not come
	}
	course := ReadState(book, st.session.State())
	if strings.HasPrefix(m.rules, "screen-decision") && !begun(course) {
		return
	}
	if open := leftOpen[m.habit]; open != nil && open(book, course) {
		return
	}
	r, _ := gradeItems(book, course)
	row.planted++
	want := strings.Fields(m.rules)
	var got, besides []string
	for _, f := range charges(r) {
		got = append(got, f.Rule)
		if !slices.Contains(want, f.Rule) {
			besides = append(besides, f.Rule)
		}
	}
	named := m.gate == (len(r.Gate) > 0) || eitherGate[m.habit]
	for _, rule := range want {
		named = named && slices.Contains(got, rule)
	}
	if named {
		row.named++
	}
	if len(besides) > 0 {
		row.extra++
	}
	if named && len(besides) == 0 {
		return
	}
	row.seen = append(row.seen, "== "+row.kind+" / "+row.style+" seed "+strconv.Itoa(int(seed))+": charged "+strings.Join(got, " ")+", want "+m.rules)
	for _, f := range charges(r) {
		row.seen = append(row.seen, "   "+line(f))
	}
	for _, g := range r.Gate {
		row.seen = append(row.seen, "   gate: "+g)
	}
}

// rightWithout says whether the attempt would have been right without the mistake.
func (s *study) rightWithout(own *bench, c scenarios.Case, w style, m mistake, seed scenarios.Seed) bool {
	key := rightKey{m.caseID, w.name, m.set, seed}
	s.mu.Lock()
	ok, known := s.right[key]
	s.mu.Unlock()
	if known {
		return ok
	}
	ok = false
	p := &planting{style: w.habit()}
	if st, err := own.play(c, seed, p.do); err == nil {
		r, _ := gradeItems(own.book, ReadState(own.book, st.session.State()))
		ok = r.Percent != nil && *r.Percent == 100 && len(r.Gate) == 0
	}
	s.mu.Lock()
	s.right[key] = ok
	s.mu.Unlock()
	return ok
}
