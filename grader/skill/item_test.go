package skill

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

func maker(t testing.TB) *Maker {
	t.Helper()
	return NewMaker(grader.Default())
}

func preset(t testing.TB, name string) grader.Rulebook {
	t.Helper()
	b, err := grader.Preset(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func draw(t testing.TB, m *Maker, n Name, seed scenarios.Seed, level int) *Item {
	t.Helper()
	it, err := m.Item(n, seed, level)
	if err != nil {
		t.Fatal(err)
	}
	return it
}

// shownOf is an item without its judge, which cannot be compared.
func shownOf(it *Item) Item {
	c := *it
	c.judge = nil
	return c
}

// The same skill, seed, level and rules give the same question, whatever was drawn before by the same maker.
func TestItemsAreFixedBySeed(t *testing.T) {
	busy := maker(t)
	for _, s := range Skills() {
		for level := 1; level <= Levels; level++ {
			for seed := scenarios.Seed(20); seed < 24; seed++ {
				once, again := draw(t, busy, s.Name, seed, level), draw(t, maker(t), s.Name, seed, level)
				if !reflect.DeepEqual(shownOf(once), shownOf(again)) {
					t.Errorf("%s, level %d, seed %d: two questions", s.Name, level, seed)
				}
				if once.Kind != s.kindOf(seed, level) {
					t.Errorf("%s, level %d, seed %d: kind %q, want %q", s.Name, level, seed, once.Kind, s.kindOf(seed, level))
				}
				if len(once.Facts) == 0 || once.Ask == "" || (once.Choices == nil) == (once.Boxes == nil) {
					t.Errorf("%s, level %d, seed %d: nothing to answer", s.Name, level, seed)
				}
			}
		}
	}
}

// In a block of forty every kind comes in its share; the first question is that of the seed; fewer questions are the first of more.
func TestSeedsAreArranged(t *testing.T) {
	for _, s := range Skills() {
		for level := 1; level <= Levels; level++ {
			for seed := scenarios.Seed(0); seed < 20; seed++ {
				seeds := s.Seeds(seed, level, 2*block)
				if seeds[0] != seed {
					t.Errorf("%s: the first seed is %d, want %d", s.Name, seeds[0], seed)
				}
				if few := s.Seeds(seed, level, 7); !reflect.DeepEqual(few, seeds[:7]) {
					t.Errorf("%s: 7 questions are not the first of %d", s.Name, len(seeds))
				}
				whole := 0
				for _, k := range s.kinds[level-1] {
					whole += k.weight
				}
				seen := map[scenarios.Seed]bool{}
				for b := range 2 {
					n := map[string]int{}
					for _, x := range seeds[b*block : (b+1)*block] {
						if seen[x] {
							t.Errorf("%s, seed %d: seed %d comes twice", s.Name, seed, x)
						}
						seen[x] = true
						n[s.kindOf(x, level)]++
					}
					for _, k := range s.kinds[level-1] {
						if want := float64(block*k.weight) / float64(whole); math.Abs(float64(n[k.kind])-want) >= 1 {
							t.Errorf("%s, level %d: %d of forty are %q, want %.1f", s.Name, level, n[k.kind], k.kind, want)
						}
					}
				}
			}
		}
	}
}

// The order of kinds does not give the next one away: after any kind the next is of any kind, as often as shuffling forty makes it.
func TestOrderTellsNothing(t *testing.T) {
	s, _ := Find(Steady)
	same, n := 0, 0
	for seed := scenarios.Seed(0); seed < 500; seed++ {
		order := s.order(seed, 1, 0)
		for i := 1; i < len(order); i++ {
			n++
			if order[i] == order[i-1] {
				same++
			}
		}
	}
	// 19 of the other 39 are of the same kind.
	if got, want := float64(same)/float64(n), 19.0/39; math.Abs(got-want) > 0.015 {
		t.Errorf("%.3f of the kinds follow one of their own, want %.3f", got, want)
	}
}

// bare works out the right answer to a steady question from the table alone, as the printed rule says it. Source: CSEP 2009 (more than 5 bpm
// apart: one more minute); at most three more, a choice of the house.
func bare(t *testing.T, it *Item, seconds int, agree func(apart float64) bool) string {
	t.Helper()
	var beats []int
	of := seconds
	for _, f := range it.Facts {
		if f.Table == nil {
			continue
		}
		if f.Table.Header[1] == "bpm" {
			of = 60
		}
		for _, r := range f.Table.Rows {
			var n int
			if _, err := fmt.Sscan(r[1], &n); err != nil {
				t.Fatal(err)
			}
			beats = append(beats, n)
		}
	}
	n := len(beats)
	apart := math.Abs(float64(beats[n-1]-beats[n-2])) * 60 / float64(of)
	if agree(apart) || n-3 >= 3 {
		return "next"
	}
	return "minute"
}

func TestSteadyIsJudgedByThePrintedRule(t *testing.T) {
	for _, c := range []struct {
		rules   string
		set     string
		seconds int
		agree   func(float64) bool
	}{
		{"four-band", "steady=le5", 15, func(d float64) bool { return d <= 5 }},
		{"four-band", "steady=lt5", 15, func(d float64) bool { return d < 5 }},
		{"four-band", "steady=le6", 15, func(d float64) bool { return d <= 6 }},
		{"four-band", "count.seconds=30", 30, func(d float64) bool { return d <= 5 }},
		{"count-10", "steady=le6", 10, func(d float64) bool { return d <= 6 }},
	} {
		b := preset(t, c.rules)
		if err := b.SetAll([]string{c.set}); err != nil {
			t.Fatal(err)
		}
		m := NewMaker(b)
		answers, edge := map[string]int{}, map[string]int{}
		for level := 1; level <= Levels; level++ {
			for seed := scenarios.Seed(0); seed < 60; seed++ {
				it := draw(t, m, Steady, seed, level)
				right := bare(t, it, c.seconds, c.agree)
				answers[right]++
				if it.Kind == atEdge {
					edge[right]++
				}
				for _, choice := range it.Choices {
					if v := it.Judge(Answer{Choice: choice.Word}); v.Right != (choice.Word == right) {
						t.Errorf("%s %s, level %d, seed %d: %q is right=%v, want %q", c.rules, c.set, level, seed, choice.Word, v.Right, right)
					}
				}
			}
		}
		if answers["next"] < 60 || answers["minute"] < 60 {
			t.Errorf("%s %s: answers %v lean to one side", c.rules, c.set, answers)
		}
		if edge["next"] < 2 || edge["minute"] < 2 {
			t.Errorf("%s %s: of stages at the edge of the rule %v were asked", c.rules, c.set, edge)
		}
	}
}

// Stage 2 by the printed table. Source: CSEP 2009: below 80, 80–89, 90–100, above 100 bpm give 750, 600, 450, 300 kg·m/min.
func TestBranchIsJudgedByThePrintedTable(t *testing.T) {
	m := maker(t)
	met, edges := map[float64]int{}, map[float64]bool{}
	for level := 1; level <= Levels; level++ {
		for seed := scenarios.Seed(0); seed < 80; seed++ {
			it := draw(t, m, Branch, seed, level)
			rows := it.Facts[1].Table.Rows
			var beats, stage int
			if _, err := fmt.Sscan(rows[2][3], &beats); err != nil {
				t.Fatal(err)
			}
			if _, err := fmt.Sscan(rows[len(rows)-1][0], &stage); err != nil {
				t.Fatal(err)
			}
			hr := float64(4 * beats)
			if it.Facts[1].Table.Header[3] == "bpm" {
				hr = float64(beats)
				edges[hr] = true
			}
			due := 300.0
			switch {
			case hr < 80:
				due = 750
			case hr < 90:
				due = 600
			case hr <= 100:
				due = 450
			}
			due += 150 * float64(stage-1)
			met[due]++
			for _, kgm := range []float64{150, 300, 450, 600, 750, 900, 1050, 1200, 1350, 1500} {
				for _, typed := range []float64{kgm, kgm / 300} { // 50 rpm of 6 m
					if v := it.Judge(Answer{Numbers: []float64{typed}}); v.Right != (kgm == due) {
						t.Errorf("level %d, seed %d, %v bpm, after stage %d: %v is right=%v, want %v", level, seed, hr, stage, typed, v.Right, due)
					}
				}
			}
		}
	}
	for _, hr := range []float64{79, 80, 89, 90, 100, 101} {
		if !edges[hr] {
			t.Errorf("nobody was at the printed edge, %v bpm", hr)
		}
	}
	if len(met) < 7 {
		t.Errorf("only the loads %v were asked for", met)
	}
}

// An ideal listener counts every beat that was felt. The count's error has the spread of a window that begins anywhere between two beats, and of
// the beats that a trained finger misses: with f the part of a beat that is left over, f(1 − f) counts, and n·p·(1 − p) for the misses.
// Source: derived for a uniform phase (15-s counts: SD 1.63 bpm over all rates); missed one in 200 at rest and one in 100 at work, CHOICE-FINGERS.
func TestPulseErrorIsThatOfTheWindow(t *testing.T) {
	m := maker(t)
	var squares, expected, phase, bias, bent float64
	n := 0
	for seed := scenarios.Seed(0); n < 2500; seed++ {
		it := &Item{Skill: Pulse, Seed: seed, Level: 1}
		err := m.meet(it.stream("test"), func(c scenarios.Case) bool { return c.ID == "uneventful" }, func(x test) bool {
			for _, kind := range []string{"at rest", "below 110", "110 to 129", "130 and more"} {
				for _, k := range m.counts(x, kind) {
					one := &Item{}
					m.pulseItem(one, x, k)
					seconds := float64(k.count.Seconds)
					missed := 0.01
					if k.stage == 0 {
						missed = 0.005
					}
					beats := one.truth.hr * seconds / 60
					step := 60 / seconds
					_, f := math.Modf(beats)
					e := float64(len(k.count.Tenths))*step - one.truth.hr
					shift := -beats * missed * step
					bias += e
					bent += shift
					squares += (e - shift) * (e - shift)
					phase += f * (1 - f) * step * step
					expected += (f*(1-f) + beats*missed*(1-missed)) * step * step
					n++
				}
			}
			return true
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	got, want := math.Sqrt(squares/float64(n)), math.Sqrt(expected/float64(n))
	// The SE of a SD from n is about SD/√(2n): 1.4 % here; three of them.
	if math.Abs(got/want-1) > 3/math.Sqrt(2*float64(n)) {
		t.Errorf("SD of the ideal count is %.3f bpm, want %.3f (%.3f by phase alone) from %d counts", got, want, math.Sqrt(phase/float64(n)), n)
	}
	if off := (bias - bent) / float64(n); math.Abs(off) > 3*want/math.Sqrt(float64(n)) {
		t.Errorf("the ideal count is off by %.3f bpm on the mean beyond the beats missed, from %d counts", off, n)
	}
}

// The count that is right is the number of marks on the strip, and multiplying is judged apart from counting.
func TestPulseIsJudgedByTheStrip(t *testing.T) {
	m := maker(t)
	for level := 1; level <= Levels; level++ {
		for seed := scenarios.Seed(0); seed < 10; seed++ {
			it := draw(t, m, Pulse, seed, level)
			var strip *exercises.PulseFelt
			for _, f := range it.Facts {
				if f.Pulse != nil {
					strip = f.Pulse
				}
			}
			beats := float64(len(strip.Tenths))
			rate := beats * 60 / float64(strip.Seconds)
			for _, c := range []struct {
				beats, hr, credit float64
			}{{beats, rate, 1}, {beats, rate / 2, 0.5}, {beats + 5, (beats + 5) * 60 / float64(strip.Seconds), 0.5}, {0, 0, 0.5}} {
				v := it.Judge(Answer{Numbers: []float64{c.beats, c.hr}})
				if c.credit == 1 && (!v.Right || v.Credit != 1) || c.credit < 1 && (v.Right || v.Credit > 0.75) {
					t.Errorf("level %d, seed %d, %v beats felt: %v and %v give right=%v, credit %v", level, seed, beats, c.beats, c.hr, v.Right, v.Credit)
				}
			}
		}
	}
}

// A verdict says why, and where it is written; nothing of the tool's own words is in it.
func TestVerdictsExplain(t *testing.T) {
	m := maker(t)
	for _, s := range Skills() {
		for level := 1; level <= Levels; level++ {
			for seed := scenarios.Seed(40); seed < 46; seed++ {
				it := draw(t, m, s.Name, seed, level)
				answers := []Answer{{Numbers: make([]float64, len(it.Boxes))}}
				for _, c := range it.Choices {
					answers = append(answers, Answer{Choice: c.Word})
				}
				if it.Choices != nil {
					answers = answers[1:]
				}
				rights := 0
				for _, a := range answers {
					v := it.Judge(a)
					if v.Right {
						rights++
					}
					if v.Right && v.Known == "" || v.Why == "" || len(v.Source) == 0 || !v.Right && v.Should == "" || v.Right != (v.Credit == 1) || !v.Right && v.Did == "" {
						t.Errorf("%s, level %d, seed %d, %s: %+v", s.Name, level, seed, a, v)
					}
					for _, word := range []string{"invalid", "null", "parameter", "session", "NaN", "%!"} {
						if strings.Contains(v.Known+v.Did+v.Should+v.Why, word) {
							t.Errorf("%s, level %d, seed %d: %q is said: %+v", s.Name, level, seed, word, v)
						}
					}
				}
				if it.Choices != nil && (rights == 0 || rights == len(answers)) {
					t.Errorf("%s, level %d, seed %d: %d of %d answers are right", s.Name, level, seed, rights, len(answers))
				}
			}
		}
	}
}
