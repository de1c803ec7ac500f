package skill

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/stats"
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// Half of the moments have something wrong; half of these must end, half look like it and must not. Of any forty in a row exactly so; of
// 10 000 drawn one by one within what chance allows.
func TestShareOfSignals(t *testing.T) {
	s, _ := Find(Stop)
	const n = 10_000
	for level := 1; level <= Levels; level++ {
		count := map[string]int{}
		for i := range n {
			count[s.kindOf(scenarios.Seed(5).Row(i), level)]++
		}
		for kind, want := range map[string]float64{nothing: 0.5, mustEnd: 0.25, lookAlike: 0.25} {
			// 4 SD of a binomial share
			if got := float64(count[kind]) / n; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/n) {
				t.Errorf("level %d: %.4f of %d are %q, want %.2f", level, got, n, kind, want)
			}
		}
		for i := range 250 {
			forty := map[string]int{}
			for _, x := range s.Seeds(scenarios.Seed(i), level, block) {
				forty[s.kindOf(x, level)]++
			}
			if forty[nothing] != 20 || forty[mustEnd] != 10 || forty[lookAlike] != 10 {
				t.Fatalf("level %d, seed %d: a block of forty has %v", level, i, forty)
			}
		}
	}
}

// ending are signs that end a test when they show. Source: protocol handouts as in SOURCES.md (NHANES-CVX, BENJ); knee and leg pain from grade 2.
var ending = map[body.Sign]int{
	body.ChestDiscomfort: 1, body.Lightheaded: 1, body.Pallor: 1, body.Confused: 1, body.ColdSweat: 1, body.Shaky: 1, body.Nausea: 1, body.Wheeze: 1,
	body.SevereExertion: 1, body.Breathless: 1, body.Overheated: 1, body.LegPain: 2, body.KneePain: 2, body.AskedToStop: 1, body.CadenceLost: 1,
}

// emergencies are those of them at which the load comes off at once.
var emergencies = []body.Sign{body.ChestDiscomfort, body.Lightheaded, body.Pallor, body.Confused, body.ColdSweat, body.Shaky, body.Nausea}

// What is shown bears the kind out: words of a sign that ends a test are told where the test must end, and nowhere else.
func TestMomentsAreWhatTheySay(t *testing.T) {
	m := maker(t)
	meanings := map[string][]scenarios.Meaning{}
	told, wordless := 0, 0
	for level := 1; level <= Levels; level++ {
		for i := range 70 {
			it := draw(t, m, Stop, scenarios.Seed(77).Row(i), level)
			var sign string
			atOnce := false
			for _, f := range it.Facts {
				for _, c := range m.cases {
					if !slices.ContainsFunc(c.Names, func(n scenarios.Name) bool { return strings.HasPrefix(it.Facts[0].Text, n.Name+",") }) {
						continue
					}
					if meanings[c.ID] == nil {
						meanings[c.ID] = c.Meanings()
					}
					for _, meaning := range meanings[c.ID] {
						if least, ends := ending[meaning.Sign]; f.When != "" && ends && meaning.Grade >= least && meaning.Words != "" && strings.Contains(f.Text, meaning.Words) {
							sign = meaning.Words
							atOnce = atOnce || slices.Contains(emergencies, meaning.Sign)
						}
					}
				}
			}
			switch {
			case it.Kind == mustEnd && sign != "":
				told++
			case it.Kind == mustEnd:
				wordless++ // by a pressure, an uneven pulse, the brake, or pedals that stopped
			case sign != "" && it.Judge(Answer{Choice: string(grader.GoOn)}).Right:
				t.Errorf("level %d, seed %d, %s: “%s” is told, and yet going on is right", level, it.Seed, it.Kind, sign)
			}
			if atOnce && (!it.Judge(Answer{Choice: string(grader.Emergency)}).Right || it.Judge(Answer{Choice: string(grader.End)}).Right) {
				t.Errorf("level %d, seed %d: “%s” is told, and the load need not come off at once", level, it.Seed, sign)
			}
			ends := it.Judge(Answer{Choice: string(grader.End)}).Right || it.Judge(Answer{Choice: string(grader.Emergency)}).Right
			goes := it.Judge(Answer{Choice: string(grader.GoOn)}).Right || it.Judge(Answer{Choice: string(grader.Recheck)}).Right
			if ends != (it.Kind == mustEnd) || goes == ends {
				t.Errorf("level %d, seed %d, %s: ending is right=%v, going on or checking right=%v", level, it.Seed, it.Kind, ends, goes)
			}
		}
	}
	if told < 35 || wordless < 3 {
		t.Errorf("%d moments end by words or looks, %d by readings", told, wordless)
	}
}

// The intervals shown cover what is true of a simulated student about 95 times in 100, counted over many students at the numbers that a term gives.
func TestIntervalsCover(t *testing.T) {
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	s, _ := Find(Stop)
	for _, c := range []struct {
		sensitivity, specificity float64
		n                        int
	}{{0.8, 0.9, 40}, {0.95, 0.7, 40}, {0.6, 0.85, 80}, {0.9, 0.95, 160}} {
		r := rand.New(rand.NewPCG(9, uint64(c.n)))
		const students = 1000
		sens, spec, prime := 0, 0, 0
		// Of so many moments the half that is added to each count does not matter.
		trueIndex := stats.Detection{Hits: int(1e9 * c.sensitivity), Signals: 1e9, FalseStops: int(1e9 * (1 - c.specificity)), Rest: 1e9}.Index()
		for who := range students {
			var list []exercises.Answered
			for i, seed := range s.Seeds(scenarios.Seed(who), 2, c.n) {
				kind, answer := s.kindOf(seed, 2), string(grader.GoOn)
				share := 1 - c.specificity
				if kind == mustEnd {
					share = c.sensitivity
				}
				if r.Float64() < share {
					answer = string(grader.End)
				}
				list = append(list, exercises.Answered{At: at.Add(time.Duration(i) * time.Second), Skill: string(Stop), Seed: seed, Level: 2, Kind: kind, Answer: answer})
			}
			d := Detect(list)
			if d.Signals != c.n/4 || d.Rest != c.n-c.n/4 {
				t.Fatalf("%d signals of %d moments", d.Signals, c.n)
			}
			in := func(right, n int, truth float64) bool {
				w := NewCount(right, n).Interval
				return w[0] <= truth && truth <= w[1]
			}
			if in(d.Hits, d.Signals, c.sensitivity) {
				sens++
			}
			if in(d.Rest-d.FalseStops, d.Rest, c.specificity) {
				spec++
			}
			if i := d.Index(); math.Abs(i.DPrime-trueIndex.DPrime) <= 1.96*i.SE {
				prime++
			}
		}
		// The interval of a share from ten signals covers 90–98 %, as its counts are whole: exact coverage by the binomial beside it.
		for _, x := range []struct {
			name  string
			got   int
			exact float64
		}{{"sensitivity", sens, coverage(c.n/4, c.sensitivity)}, {"specificity", spec, coverage(c.n-c.n/4, c.specificity)}} {
			got := float64(x.got) / students
			if math.Abs(got-x.exact) > 4*math.Sqrt(x.exact*(1-x.exact)/students) || x.exact < 0.90 {
				t.Errorf("%+v: the interval of the %s covers %.3f, by the binomial %.3f", c, x.name, got, x.exact)
			}
		}
		if got := float64(prime) / students; got < 0.92 {
			t.Errorf("%+v: d′ ± 1.96 SE covers %.3f", c, got)
		}
	}
}

// coverage is how often the score interval of a share covers it, summed over the binomial: the outside check of the simulation.
func coverage(n int, p float64) float64 {
	sum := 0.0
	for x := 0; x <= n; x++ {
		w := stats.Wilson(x, n)
		if w[0] <= p && p <= w[1] {
			a, _ := math.Lgamma(float64(n + 1))
			b, _ := math.Lgamma(float64(x + 1))
			c, _ := math.Lgamma(float64(n - x + 1))
			sum += math.Exp(a - b - c + float64(x)*math.Log(p) + float64(n-x)*math.Log1p(-p))
		}
	}
	return sum
}

// Counts of the two by two table, by hand.
func TestDetect(t *testing.T) {
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	var list []exercises.Answered
	add := func(kind, answer string, n int) {
		for range n {
			list = append(list, exercises.Answered{At: at.Add(time.Duration(len(list)) * time.Second), Skill: string(Stop), Seed: scenarios.Seed(len(list)), Level: 1, Kind: kind, Answer: answer})
		}
	}
	add(mustEnd, "emergency", 3)
	add(mustEnd, "end", 4)
	add(mustEnd, "recheck", 2)
	add(mustEnd, "go", 1)
	add(lookAlike, "recheck", 5)
	add(lookAlike, "end", 2)
	add(nothing, "go", 10)
	add(nothing, "emergency", 1)
	list = append(list, list[0]) // the same question again
	if got, want := Detect(list), (stats.Detection{Hits: 7, Signals: 10, FalseStops: 3, Rest: 18}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func BenchmarkItem(b *testing.B) {
	for _, s := range Skills() {
		b.Run(string(s.Name), func(b *testing.B) {
			m := maker(b)
			i := 0
			for b.Loop() {
				draw(b, m, s.Name, scenarios.Seed(i), 1+i%Levels)
				i++
			}
		})
	}
}
