package grader

import (
	"flag"
	"fmt"
	"math"
	"sync"
	"testing"

	"kilopond/exercises"
	"kilopond/grader/stats"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A planted student has one habit; the statistics of the class must find it again.
type planted string

const (
	careful     planted = "careful"       // the reference proctor's way
	missesBeat  planted = "misses a beat" // in every count of work, and goes by what it counted
	stopsLate   planted = "stops late"    // a minute after it was due
	wrongBand   planted = "wrong band"    // sets every load from the second on half a kilopond higher
	forgetsRPE  planted = "forgets RPE"   // never asks for exertion
	halfAMinute planted = "half a minute" // sits still half a minute instead of five
)

// How many students are simulated in full; 200 takes a quarter of a minute of a core.
var classOf = flag.Int("class", 40, "students of the class that is simulated in full, a multiple of ten")

const attemptsEach = 10

// kinds gives students their habits in turn: half of them are careful.
func kinds() []planted {
	return []planted{careful, missesBeat, careful, stopsLate, careful, wrongBand, careful, forgetsRPE, careful, halfAMinute}
}

// missing makes every count of work one beat short, from the moment at which it was taken.
func missing(beats int) habit {
	return func(st *student, s *exercises.State, c exercises.Command) ([]exercises.Command, bool, bool) {
		fresh := false
		for _, e := range st.session.State().Events {
			if f, ok := e.Fact.(exercises.PulseFelt); ok && s.Stage > 0 && st.dull[f.FromS] == 0 && e.AtS >= s.StageFromS && s.EndedAtS < 0 {
				st.dull[f.FromS] = beats
				fresh = true
			}
		}
		return nil, false, fresh // look again, with dull fingers
	}
}

func (k planted) habit() habit {
	switch k {
	case missesBeat:
		return missing(1)
	case stopsLate:
		return once(change(func(s *exercises.State, c exercises.Command) bool { return c.Act == exercises.Stop && s.EndedAtS < 0 }, first(dawdling(60)...)))
	case wrongBand:
		return harder(2, 0.5)
	case forgetsRPE:
		return skip(is(exercises.Ask, "exertion"))
	case halfAMinute:
		return once(change(is(exercises.Rest, ""), instead(exercises.Command{Act: exercises.Rest, Seconds: 30}, exercises.Command{Act: exercises.Count, Seconds: 30})))
	}
	return nil
}

// packOfTen is the same ten cases for everybody: six in which nothing happens, two to be stopped at once, one who asks to stop, one not to be tested.
func packOfTen() []string {
	return []string{"uneventful", "tuesday-two", "sunday-seven", "friday-eleven", "monday-six", "thursday-nine", "thursday-three", "wednesday-two", "monday-eight", "tuesday-noon"}
}

// A playedClass is the class of 200 × 10 simulated in full, with planted habits.
type playedClass struct {
	entries []Entry
	who     map[string]planted
	short   int                  // counts that missed a beat
	shifts  map[string][]float64 // by student who misses a beat: by how much that moves M on each path, mL/kg/min
}

func playClass(t *testing.T) playedClass {
	book, counter := Default(), NewPerfectCounter()
	p := playedClass{who: map[string]planted{}, shifts: map[string][]float64{}}
	p.entries = make([]Entry, *classOf*attemptsEach)
	shifts, short := make([]*float64, len(p.entries)), make([]int, len(p.entries))
	name := func(s int) string { return fmt.Sprintf("s%03d", s) }
	var crew sync.WaitGroup
	for worker := range 2 {
		crew.Add(1)
		go func() {
			defer crew.Done()
			for s := worker; s < *classOf; s += 2 {
				for k, id := range packOfTen() {
					kind := kinds()[s%len(kinds())]
					st := play(t, book, mustCase(t, id), scenarios.Seed(1000*s+k), kind.habit())
					c := st.course(t)
					short[s*attemptsEach+k] = len(st.dull)
					m := MarkOf(book, c, counter)
					p.entries[s*attemptsEach+k] = Entry{Student: name(s), Mark: m}
					if perfect := WorkPerfect(book, c); kind == missesBeat && perfect.Estimable && m.Margins.M.MlKgMin != nil {
						if short := work(book, c, shortened(c, 4)); short.Estimable { // one beat of a 15-s count
							d := float64(short.VO2Rel - perfect.VO2Rel)
							shifts[s*attemptsEach+k] = &d
						}
					}
				}
			}
		}()
	}
	crew.Wait()
	for s := range *classOf {
		p.who[name(s)] = kinds()[s%len(kinds())]
	}
	for i, d := range shifts {
		p.short += short[i]
		if d != nil {
			p.shifts[p.entries[i].Student] = append(p.shifts[p.entries[i].Student], *d)
		}
	}
	return p
}

// shortened are perfect readings of the path, each lower by so many bpm.
func shortened(c *Course, bpm float64) []protocol.StagePoint {
	var all []protocol.StagePoint
	for _, s := range c.Stages {
		p := protocol.StagePoint{Stage: s.Number, WorkRate: s.WorkRate}
		for _, m := range c.Closing.Minutes {
			if m.Stage == s.Number {
				p.Minutes = append(p.Minutes, unit.HR(m.HRbpm-bpm))
			}
		}
		all = append(all, p)
	}
	return all
}

func (p playedClass) of(kind planted) []Entry {
	var some []Entry
	for _, e := range p.entries {
		if p.who[e.Student] == kind {
			some = append(some, e)
		}
	}
	return some
}

// A class of 200 × 10, simulated in full: what was planted is what the statistics find.
func TestAClassShowsWhatWasPlanted(t *testing.T) {
	p := playClass(t)
	if t.Failed() {
		return
	}
	c := StatisticsOf(p.entries)
	if c.Students != *classOf || c.Attempts != *classOf*attemptsEach {
		t.Fatalf("%d students, %d attempts", c.Students, c.Attempts)
	}
	each := *classOf / len(kinds()) // students of each habit
	of := map[string]float64{"stop-emergency": 0.1, "branch-column": 0.1, "exertion": 0.1, "rest-time": 0.1}
	for _, i := range c.Items {
		if i.Difficulty == nil {
			continue
		}
		// A tenth of the class has the habit and gets next to nothing for it; the reference proctor gets everything.
		if want := 1 - of[i.Rule]; math.Abs(*i.Difficulty-want) > 0.02 && i.Rule != "verify-rhythm" {
			t.Errorf("%s: difficulty %.3f, want %.2f", i.Rule, *i.Difficulty, want)
		}
	}
	t.Run("stops", func(t *testing.T) {
		signs := c.Stops[0]
		missed := 0
		for _, e := range p.of(stopsLate) {
			if e.Mark.RightAct == scenarios.StopAtOnce && e.Mark.Stops.Sign {
				missed++
			}
		}
		if missed < each || signs.Signals-signs.Hits != missed || signs.FalseStops != 0 {
			t.Errorf("%d of %d signs met, %d false stops; %d were planted to be missed", signs.Hits, signs.Signals, signs.FalseStops, missed)
		}
		// One in each ten should not be tested by the case, and a few more by a resting pressure that stayed at the limit; the careful send home no other.
		if screening := c.Stops[2]; screening.Signals < *classOf || screening.Signals > *classOf+*classOf/20 || screening.Hits != screening.Signals || screening.FalseStops != 0 {
			t.Errorf("screening %+v", screening)
		}
		if c.Passed != *classOf-each {
			t.Errorf("%d passed, want all but the %d who stop late", c.Passed, each)
		}
	})
	t.Run("readings", func(t *testing.T) {
		// One beat of a 15-s count is 4 bpm; of all counts written those of work are short. Compared with the careful, on their own paths.
		right, short := agreeing(p.of(careful))[0], agreeing(p.of(missesBeat))[0]
		if d, want := short.Bias-right.Bias, -4*float64(p.short)/float64(short.N); math.Abs(d-want) > 0.3 {
			t.Errorf("the pulse of those who miss a beat is off by %.2f bpm more; want %.2f", d, want)
		}
		whole := agreeing(p.entries)[0]
		if want := right.Bias + 0.1*(short.Bias-right.Bias); math.Abs(whole.Bias-want) > 0.25 {
			t.Errorf("the class's bias is %.2f bpm, want about %.2f", whole.Bias, want)
		}
	})
	t.Run("margins", func(t *testing.T) {
		// M of those who miss a beat is moved by what four bpm do on each path, besides the noise that everybody has.
		careful, n := distances(p.of(careful))[1], 0
		covered := 0
		for student, planted := range p.shifts {
			var off []float64
			for _, e := range p.entries {
				if e.Student == student && e.Mark.Margins.M.MlKgMin != nil {
					off = append(off, *e.Mark.Margins.M.MlKgMin)
				}
			}
			a := stats.Agree(off, make([]float64, len(off)))
			want := stats.Mean(planted) + *careful.Bias
			if a.BiasCI == nil {
				continue
			}
			n++
			if a.BiasCI[0] <= want && want <= a.BiasCI[1] {
				covered++
			}
		}
		if w := stats.Wilson(covered, n); n < each*3/4 || w[1] < 0.9 {
			t.Errorf("the planted shift lies in %d of %d intervals", covered, n)
		}
		// Four students' medians say too little for the second.
		if d := distances(p.of(missesBeat))[1]; *d.Bias <= *careful.Bias+0.5 || *classOf >= 200 && *d.Median <= *careful.Median {
			t.Errorf("M of those who miss a beat: bias %.2f, median %.2f; of the careful %.2f, %.2f", *d.Bias, *d.Median, *careful.Bias, *careful.Median)
		}
	})
	t.Run("needs", func(t *testing.T) {
		has := map[planted]map[string]int{}
		for _, n := range c.Needs {
			if has[p.who[n.Student]] == nil {
				has[p.who[n.Student]] = map[string]int{}
			}
			has[p.who[n.Student]][n.Skill]++
		}
		if has[wrongBand]["branch"] != each || has[stopsLate]["stop"] != each || len(has[careful]) != 0 {
			t.Errorf("needs %v", has)
		}
	})
	t.Run("board", func(t *testing.T) {
		aliases := map[string]string{}
		for s := range p.who {
			aliases[s] = "alias of " + s
		}
		b := BoardOf(DefaultBoardRules(), p.entries, aliases)
		if len(b.LeftOut) < each || b.People+len(b.LeftOut) != *classOf {
			t.Errorf("%d on the board, %d left out", b.People, len(b.LeftOut))
		}
		var place, raw [2][]float64 // ratios of the careful, and of those who miss a beat: shrunk, and before that
		for _, r := range b.Rows {
			switch p.who[r.Alias[len("alias of "):]] {
			case careful:
				place[0], raw[0] = append(place[0], r.Shrunk), append(raw[0], r.Ratio)
			case missesBeat:
				place[1], raw[1] = append(place[1], r.Shrunk), append(raw[1], r.Ratio)
			case stopsLate:
				t.Errorf("%s missed a stop and stands on the board", r.Alias)
			}
		}
		// The reference proctor miscounts nothing but for beats that fingers miss, one in a hundred: it is near a perfect counter.
		if m := stats.Mean(place[0]); m < 0.9 || m > 1.5 {
			t.Errorf("the careful come to %.2f times a perfect counter", m)
		}
		// A class whose spread is all chance is drawn together to one point; it is never turned round.
		if stats.Mean(raw[1]) <= stats.Mean(raw[0]) || stats.Mean(place[1]) < stats.Mean(place[0])-1e-9 {
			t.Errorf("who misses a beat stands no lower: %.3f (%.3f before shrinking), the careful %.3f (%.3f)",
				stats.Mean(place[1]), stats.Mean(raw[1]), stats.Mean(place[0]), stats.Mean(raw[0]))
		}
		t.Logf("careful %.2f (n %d), one beat short %.2f (n %d), class %.2f", stats.Mean(place[0]), len(place[0]), stats.Mean(place[1]), len(place[1]), *b.Class)
	})
	if c.Reliability.Design != "crossed" || c.Reliability.Students != *classOf || c.Consistency.Kappa == nil || *c.Consistency.Kappa < 0.9 {
		t.Errorf("reliability %+v, consistency %+v", c.Reliability, c.Consistency)
	}
}
