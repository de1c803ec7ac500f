package grader

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

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
// MUTATION=200 GOGC=400 go test ./grader -run Mutation -timeout 3h is the large run: 200 seeds of each kind and style. It writes testdata/mutation.csv;
// the table there is of 100, with fifteen kinds run after the last changes of rules after the last changes of rules.
func TestMutation(t *testing.T) {
	seeds := max(fewSeeds, manySeeds())
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

// percent is a share of all; 0 of nothing.
func percent(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return 100 * float64(n) / float64(of)
}

// A study holds what its plays share: cases, rulebooks, and which attempts are right before a mistake is planted.
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
			for i := range next {
				m, w := all[i/len(ways)], ways[i%len(ways)]
				if seeds <= fewSeeds && (i/len(ways)+i)%3 > 0 {
					continue // a small run takes every third style of a kind
				}
				if strings.Contains(m.habit+"/"+w.name, s.only) {
					s.fill(&rows[i], m, w, seeds, i)
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
func (s *study) fill(row *tally, m mistake, w style, seeds, i int) {
	from := scenarios.Seed(0)
	tries := seeds
	if seeds <= fewSeeds {
		from, tries = scenarios.Seed(i%60), 12 // until it could be made
	}
	for seed := from; seed < from+scenarios.Seed(tries) && row.planted < seeds; seed++ {
		s.plant(row, m, w, seed)
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
func (s *study) plant(row *tally, m mistake, w style, seed scenarios.Seed) {
	book, c := bookOf(w.set, m.set), s.cases[m.caseID]
	if !s.rightWithout(book, c, w, m, seed) {
		return
	}
	p := &planting{style: w.habit(), mistake: habitOf(m.habit)}
	st, err := attempt(book, c, seed, p.do)
	if err != nil {
		row.seen = append(row.seen, row.kind+"/"+row.style+": "+err.Error())
		return
	}
	course, err := Read(st.header, st.lines)
	if err != nil || p.made == 0 || strings.HasPrefix(m.rules, "screen-decision") && !begun(course) {
		return // the place for the mistake did not come
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
func (s *study) rightWithout(book Rulebook, c scenarios.Case, w style, m mistake, seed scenarios.Seed) bool {
	key := rightKey{m.caseID, w.name, m.set, seed}
	s.mu.Lock()
	ok, known := s.right[key]
	s.mu.Unlock()
	if known {
		return ok
	}
	ok = false
	p := &planting{style: w.habit()}
	if st, err := attempt(book, c, seed, p.do); err == nil {
		if course, err := Read(st.header, st.lines); err == nil {
			r, _ := gradeItems(book, course)
			ok = r.Percent != nil && *r.Percent == 100 && len(r.Gate) == 0
		}
	}
	s.mu.Lock()
	s.right[key] = ok
	s.mu.Unlock()
	return ok
}
