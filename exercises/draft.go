package exercises

import (
	"cmp"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// mostSubjects in one pack. Source: [CHOICE-PACK].
const mostSubjects = 40

// A Plan is what the instructor asks for.
type Plan struct {
	Terms    Terms // the ID is given by the draft
	Mix      scenarios.CaseMix
	Subjects int              // of a mix; 0 for its usual number
	Cases    []scenarios.Case // with a mix: what it may draw from; without one: exactly these, each once for everybody
	Rules    protocol.Rules   // the arithmetic part of Terms.Rulebook: by its bands the class is balanced
	Retest   *Retest
	Avoid    map[string][]string // cases that a student, by key, should not meet again where there is another
}

// A Draft makes the packs of one assignment. Everything drawn follows from the 32 random bytes of the secret: the same secret, plan and roster
// give the same packs on every machine. Student may be called for several students at once.
type Draft struct {
	plan   Plan
	secret []byte
	madeAt time.Time
	given  []Student // who came earlier: their packs stand
	roster []Entrant // who gets one now
	codes  []string
	place  []int  // of each student in the class's own random order
	slots  []slot // of everybody
	spare  []slot // the unscored must-stops, in the order in which they are used
	cells  map[cell][]scenarios.Case
	shares []float64 // of the rows of the branch table, among those who can come
	own    []CaseRef // the instructor's own among the cases
}

// A cell is what can stand for one another.
type cell struct {
	stratum    scenarios.Stratum
	difficulty int
	only       string // id of the one case, without a mix
}

// A slot is a place in everybody's pack.
type slot struct {
	cell
	scored bool
	nth    int // among the slots of its cell
}

// NewDraft lays out an assignment for the students at the time now.
func NewDraft(plan Plan, roster []Entrant, secret [32]byte, now time.Time) (*Draft, error) {
	return (&Draft{plan: plan, secret: secret[:], madeAt: now.UTC().Truncate(time.Second), roster: roster}).lay()
}

// Join lays out packs for students who come to an assignment later. They take the next turns of the class, so that the whole stays balanced, and the
// packs that were given out stay as they are. rules are those of the assignment; library holds the cases that can be drawn from.
func Join(a Assignment, rules protocol.Rules, library []scenarios.Case, more []Entrant) (*Draft, error) {
	secret, err := hex.DecodeString(a.Secret)
	if err != nil || len(secret) != 32 || len(a.Students) == 0 {
		return nil, errors.New("the instructor's file has no secret from which packs can be drawn")
	}
	if a.Retest != nil {
		return nil, errors.New("this is a retest, which is made for those who failed")
	}
	plan := Plan{Terms: a.Terms, Mix: a.Mix, Rules: rules, Subjects: len(a.Students[0].Subjects)}
	for _, ref := range a.Cases {
		i := slices.IndexFunc(library, func(c scenarios.Case) bool { return c.ID == ref.ID && c.Hash == ref.Hash })
		if i < 0 {
			return nil, fmt.Errorf("case %s is not in this program as the assignment has it", ref.ID)
		}
		plan.Cases = append(plan.Cases, library[i])
	}
	if a.Mix != "" {
		plan.Cases = library
	}
	return (&Draft{plan: plan, secret: secret, madeAt: a.MadeAt, given: a.Students, roster: more}).lay()
}

// lay lays out the slots, the codes and the turns.
func (d *Draft) lay() (*Draft, error) {
	plan := d.plan
	d.cells = map[cell][]scenarios.Case{}
	if len(d.roster) == 0 {
		return nil, errors.New("the roster names nobody")
	}
	if len(plan.Cases) == 0 {
		return nil, errors.New("no case to draw from")
	}
	id := d.mac("assignment")
	d.plan.Terms.Assignment = CodeOf(binary.LittleEndian.Uint64(id))
	d.plan.Terms.From = plan.Terms.From.UTC().Truncate(time.Second)
	d.plan.Terms.Until = plan.Terms.Until.UTC().Truncate(time.Second)
	err := d.plan.Terms.Check()
	if err != nil {
		return nil, err
	}
	if err := d.layOut(); err != nil {
		return nil, err
	}
	if d.own, err = ownRefs(plan.Cases); err != nil {
		return nil, err
	}
	d.giveCodes()
	d.place = d.stream("class").Perm(len(d.roster))
	for i := range d.place {
		if n := len(d.given); n > 0 {
			d.place[i] = n + i // the turns before were taken
		}
	}
	r := d.stream("cases")
	for _, c := range d.cellsInOrder() {
		r.Shuffle(len(d.cells[c]), func(i, j int) { d.cells[c][i], d.cells[c][j] = d.cells[c][j], d.cells[c][i] })
	}
	d.sample()
	return d, nil
}

// mac is 32 bytes that only who has the secret can know.
func (d *Draft) mac(label string) []byte {
	m := hmac.New(sha256.New, d.secret)
	m.Write([]byte(label))
	return m.Sum(nil)
}

func (d *Draft) stream(label string) *rand.Rand {
	return rand.New(rand.NewChaCha8([32]byte(d.mac("stream/" + label))))
}

// layOut fixes the slots of everybody and which cases can fill them.
func (d *Draft) layOut() error {
	if d.plan.Retest != nil {
		return d.layOutRetest()
	}
	if d.plan.Mix == "" {
		if len(d.plan.Cases) > mostSubjects {
			return fmt.Errorf("%d cases: at most %d in one pack", len(d.plan.Cases), mostSubjects)
		}
		for _, c := range d.plan.Cases {
			at := cell{c.Stratum(), c.Difficulty, c.ID}
			d.slots = append(d.slots, slot{at, true, 0})
			if len(d.cells[at]) > 0 {
				return fmt.Errorf("case %s is given twice", c.ID)
			}
			d.cells[at] = []scenarios.Case{c}
		}
		return nil
	}
	n := d.plan.Subjects
	if n == 0 {
		n = d.plan.Mix.Size()
	}
	fixed, err := d.plan.Mix.Slots(n, 0)
	if err != nil {
		return err
	}
	d.sort()
	used := map[cell]int{}
	for _, s := range scenarios.Strata() {
		var of []scenarios.Slot
		for _, x := range fixed {
			if x.Stratum == s {
				of = append(of, x)
			}
		}
		cells, err := d.apportion(s, len(of))
		if err != nil {
			return err
		}
		for i, c := range cells {
			d.slots = append(d.slots, slot{c, of[i].Scored, used[c]})
			used[c]++
		}
	}
	for i := range d.plan.Mix.Unscored() {
		s := []scenarios.Stratum{scenarios.NotTested, scenarios.MustStop}[i%2]
		cells, err := d.apportion(s, 1)
		if err != nil {
			return err
		}
		d.spare = append(d.spare, slot{cells[0], false, used[cells[0]]})
		used[cells[0]]++
	}
	return nil
}

// sort puts the cases that may be drawn into their cells.
func (d *Draft) sort() {
	for _, c := range d.plan.Cases {
		at := cell{stratum: c.Stratum(), difficulty: c.Difficulty}
		d.cells[at] = append(d.cells[at], c)
	}
}

// layOutRetest shares the places between people who must be stopped or not begun, the first and every second one, and people who only look like it,
// as far as the failed decision has both.
func (d *Draft) layOutRetest() error {
	if d.plan.Subjects < 1 || d.plan.Subjects > mostSubjects {
		return fmt.Errorf("%d people: 1 to %d", d.plan.Subjects, mostSubjects)
	}
	d.sort()
	present := func(of ...scenarios.Stratum) (kinds []scenarios.Stratum) {
		for _, s := range of {
			if slices.ContainsFunc(d.plan.Cases, func(c scenarios.Case) bool { return c.Stratum() == s }) {
				kinds = append(kinds, s)
			}
		}
		return kinds
	}
	stops, goesOn := present(scenarios.MustStop, scenarios.NotTested), present(scenarios.LookAlike, scenarios.Uneventful)
	share := map[scenarios.Stratum]int{}
	for i := range d.plan.Subjects {
		from := stops
		if len(stops) == 0 || i%2 == 1 && len(goesOn) > 0 {
			from = goesOn
		}
		share[from[i/2%len(from)]]++
	}
	kinds := slices.Concat(stops, goesOn)
	used := map[cell]int{}
	for _, s := range kinds {
		cells, err := d.apportion(s, share[s])
		if err != nil {
			return err
		}
		for _, c := range cells {
			d.slots = append(d.slots, slot{c, true, used[c]})
			used[c]++
		}
	}
	return nil
}

// cellsInOrder never depends on a map.
func (d *Draft) cellsInOrder() []cell {
	var all []cell
	for c := range d.cells {
		all = append(all, c)
	}
	slices.SortFunc(all, func(a, b cell) int {
		return cmp.Or(cmp.Compare(a.stratum, b.stratum), a.difficulty-b.difficulty, cmp.Compare(a.only, b.only))
	})
	return all
}

// apportion shares n slots of a stratum over its difficulties as the cases lie, by largest remainders: everybody's pack is then equally hard.
func (d *Draft) apportion(s scenarios.Stratum, n int) ([]cell, error) {
	var of []cell
	total := 0
	for _, c := range d.cellsInOrder() {
		if c.stratum == s {
			of = append(of, c)
			total += len(d.cells[c])
		}
	}
	if n == 0 {
		return nil, nil
	}
	if total == 0 {
		return nil, fmt.Errorf("no case of the kind %s to draw from", s)
	}
	got := make([]int, len(of))
	left := n
	for i, c := range of {
		got[i] = n * len(d.cells[c]) / total
		left -= got[i]
	}
	byRest := make([]int, len(of))
	for i := range byRest {
		byRest[i] = i
	}
	rest := func(i int) int { return n * len(d.cells[of[i]]) % total }
	slices.SortStableFunc(byRest, func(a, b int) int { return rest(b) - rest(a) })
	for _, i := range byRest[:left] {
		got[i]++
	}
	var all []cell
	for i, c := range of {
		for range got[i] {
			all = append(all, c)
		}
	}
	return all, nil
}

// giveCodes gives every student a code with a label of its own.
func (d *Draft) giveCodes() {
	taken := map[string]bool{}
	for _, s := range d.given {
		taken[Label(s.Code)] = true
	}
	r := d.stream("codes")
	for range d.roster {
		code := CodeOf(r.Uint64())
		for taken[Label(code)] {
			code = CodeOf(r.Uint64())
		}
		taken[Label(code)] = true
		d.codes = append(d.codes, code)
	}
}

// A Made is one student with the pack.
type Made struct {
	Student Student
	Pack    Pack
}

// Len is how many students there are.
func (d *Draft) Len() int { return len(d.roster) }

// Student makes the pack of student i, from 0.
func (d *Draft) Student(i int) (Made, error) {
	who, code := d.roster[i], d.codes[i]
	s := Student{Name: who.Name, Key: who.Key, Group: who.Group, Code: code, TimeFactor: who.TimeFactor, Extra: who.Extra, Until: who.End.UTC().Truncate(time.Second)}
	slots := slices.Clone(d.slots)
	if n := len(d.spare); n > 0 {
		slots = d.withSpare(slots, d.spare[:d.place[i]%(n+1)])
	}
	d.stream("order/"+code).Shuffle(len(slots), func(a, b int) { slots[a], slots[b] = slots[b], slots[a] })
	s.Subjects = make([]PackSubject, len(slots))
	for j, x := range slots {
		s.Subjects[j] = PackSubject{Stratum: x.stratum, Difficulty: x.difficulty, Scored: x.scored}
	}
	sitters := make([][]Sitter, len(slots))
	b := &body.Body{}
	for try := range d.plan.Terms.Attempts + who.Extra {
		for j, p := range d.people(b, i, try, slots) {
			s.Subjects[j].Tries = append(s.Subjects[j].Tries, Drawn{Case: p.one.ID, Seed: p.seed, Band: p.band})
			sitters[j] = append(sitters[j], Sitter{Case: p.one.ID, CaseHash: p.one.Hash, Seed: p.seed})
		}
	}
	p := Pack{Format: PackFormat, Label: Label(code), Terms: s.Own(d.plan.Terms), TimeFactor: who.TimeFactor, Extra: who.Extra, Subjects: len(slots)}
	if p.Report == ReportAfter {
		p.ReportFrom = p.Until
	}
	p, err := p.seal(code, sitters, d.own)
	s.Pack = p.Hash()
	return Made{s, p}, err
}

// withSpare puts unscored must-stops in the places of uneventful ones.
func (d *Draft) withSpare(slots, spare []slot) []slot {
	for _, x := range spare {
		if i := slices.IndexFunc(slots, func(y slot) bool { return y.stratum == scenarios.Uneventful }); i >= 0 {
			slots[i] = x
		}
	}
	return slots
}

// Finish is the instructor's file of all students, in the order of the roster; who came later comes later.
func (d *Draft) Finish(students []Student) Assignment {
	students = slices.Concat(d.given, students)
	a := Assignment{
		Format: AssignmentFormat, Terms: d.plan.Terms, MadeAt: d.madeAt, Secret: hex.EncodeToString(d.secret), Mix: d.plan.Mix,
		Retest: d.plan.Retest, Students: students, Cases: []CaseRef{},
	}
	met := map[string]bool{}
	for _, s := range students {
		for _, x := range s.Subjects {
			for _, t := range x.Tries {
				met[t.Case] = true
			}
		}
	}
	for _, c := range d.plan.Cases {
		if met[c.ID] {
			a.Cases = append(a.Cases, refOf(c))
		}
	}
	return a
}
