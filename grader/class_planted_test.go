package grader

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"kilopond/grader/stats"
)

// A plantedClass is a class made of numbers: each student has a skill and each rule a difficulty, and who has more skill keeps a rule more often.
type plantedClass struct {
	entries []Entry
	skill   map[string]float64 // logits
	hard    map[string]float64 // logits, by rule
	truth   map[string]float64 // percentage to be expected of a student over all attempts there could be
}

// plantClass draws a class. One rule, the odd one, is kept by a coin's toss whatever the skill.
func plantClass(r *rand.Rand, students, attempts int, spread float64) plantedClass {
	p := plantedClass{skill: map[string]float64{}, hard: map[string]float64{}, truth: map[string]float64{}}
	rules := Rules()[:20]
	for i, rule := range rules {
		p.hard[rule.Name] = -2 + 3*float64(i)/float64(len(rules)-1)
	}
	keeps := func(rule string, skill float64) float64 {
		if rule == rules[7].Name {
			return 0.5
		}
		return 1 / (1 + math.Exp(p.hard[rule]-skill))
	}
	for s := range students {
		name := fmt.Sprintf("s%03d", s)
		p.skill[name] = spread * r.NormFloat64()
		for _, rule := range rules {
			p.truth[name] += 100 * keeps(rule.Name, p.skill[name]) / float64(len(rules))
		}
		for k := range attempts {
			m := Mark{Case: fmt.Sprintf("c%02d", k), PassPercent: 85, Closed: true, Parts: []PartScore{{Part: Safety}}}
			for _, rule := range rules {
				it := Item{Rule: rule.Name, Part: Safety, Places: 1, Points: 5}
				if r.Float64() < keeps(rule.Name, p.skill[name]) {
					it.Credit = 1
				}
				m.Items = append(m.Items, it)
			}
			p.entries = append(p.entries, Entry{Student: name, Mark: m.weighed()})
		}
	}
	return p
}

// Difficulty, discrimination and reliability of a class of 200 × 10 are those that were planted.
func TestItemStatisticsRecoverWhatWasPlanted(t *testing.T) {
	p := plantClass(rand.New(rand.NewPCG(1, 2)), 200, 10, 0.8)
	c := StatisticsOf(p.entries)
	odd := Rules()[7].Name
	var hard, found []float64
	for _, i := range c.Items {
		if i.Students != 200 || i.Attempts != 2000 || i.Difficulty == nil || i.Discrimination == nil {
			t.Fatalf("%+v", i)
		}
		if i.Rule == odd {
			// Of 200 students without any relation r has an SD of 1/√199 = 0.071.
			if math.Abs(*i.Difficulty-0.5) > 0.04 || math.Abs(*i.Discrimination) > 0.22 {
				t.Errorf("the coin's toss: difficulty %.3f, discrimination %.3f", *i.Difficulty, *i.Discrimination)
			}
			continue
		}
		if *i.Discrimination < 0.3 {
			t.Errorf("%s tells students apart, but discriminates by %.3f", i.Rule, *i.Discrimination)
		}
		hard, found = append(hard, p.hard[i.Rule]), append(found, *i.Difficulty)
	}
	if r, ok := stats.Correlation(hard, found); !ok || r > -0.97 {
		t.Errorf("planted and found difficulty correlate by %.3f, want nearly −1", r)
	}
	// The reliability of a mean of ten is the share of variance that lies between students: planted by the spread of their true percentages.
	var percent, truth []float64
	for _, s := range Standings(p.entries) {
		percent, truth = append(percent, *s.Percent), append(truth, p.truth[s.Student])
	}
	want := math.Pow(stats.SD(truth)/stats.SD(percent), 2)
	if c.Reliability.Design != "crossed" || math.Abs(*c.Reliability.Absolute-want) > 0.05 || math.Abs(*c.Reliability.Relative-want) > 0.05 {
		t.Errorf("reliability %.3f (absolute), %.3f (relative), planted %.3f", *c.Reliability.Absolute, *c.Reliability.Relative, want)
	}
}

// In repeats of a planted class the interval by which somebody is near the line holds the true percentage about 19 times in 20.
func TestStandardErrorCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	covered, n := 0, 0
	for range 60 {
		p := plantClass(r, 40, 8, 0.8)
		c := StatisticsOf(p.entries)
		for _, s := range Standings(p.entries) {
			n++
			if math.Abs(*s.Percent-p.truth[s.Student]) <= 1.96**c.Reliability.SEM {
				covered++
			}
		}
	}
	between(t, "interval of a percentage", covered, n)
}

// between asks for a coverage near 95 %: within what 2400 and more students leave to chance and two percentage points for the model's own faults.
func between(t *testing.T, what string, covered, n int) {
	t.Helper()
	t.Logf("%s: %d of %d, %.1f %%", what, covered, n, 100*float64(covered)/float64(n))
	if share := float64(covered) / float64(n); share < 0.93 || share > 0.97 {
		t.Errorf("%s: covers %.1f %% of the time, want about 95 %%", what, 100*share)
	}
}

// plantMargins draws margins M: each student a ratio to a perfect counter and a bias; M is normal, so that |M| has the mean that the ratio says.
func plantMargins(r *rand.Rand, students int) (entries []Entry, ratio, bias map[string]float64) {
	ratio, bias = map[string]float64{}, map[string]float64{}
	for s := range students {
		name := fmt.Sprintf("s%03d", s)
		ratio[name] = math.Exp(0.35 * r.NormFloat64())
		for range 5 + r.IntN(11) {
			expected := 1 + 2*r.Float64()
			off := ratio[name] * expected * math.Sqrt(math.Pi/2) * r.NormFloat64() // E|x| = σ·√(2/π)
			off, part := off, 3*off
			m := Mark{Perfect: &expected, Margins: Margins{M: Margin{MlKgMin: &off, Percent: &part}}}
			entries = append(entries, Entry{Student: name, Mark: m})
		}
	}
	return entries, ratio, bias
}

// In repeats of a planted class the board's intervals hold the true ratios about 19 times in 20, the shrunk ratios are nearer to the truth than the
// plain ones, and the order follows what was planted.
func TestBoardRecoversWhatWasPlanted(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	covered, biased, n := 0, 0, 0
	var plain, shrunk float64
	var order []float64
	for range 60 {
		entries, ratio, _ := plantMargins(r, 40)
		aliases := map[string]string{}
		for name := range ratio {
			aliases[name] = name
		}
		b := BoardOf(DefaultBoardRules(), entries, aliases)
		if len(b.Rows) != 40 {
			t.Fatalf("%d rows: %s", len(b.Rows), b.Hidden)
		}
		var x, y []float64
		for _, row := range b.Rows {
			n++
			want := ratio[row.Alias]
			if row.Interval[0] <= want && want <= row.Interval[1] {
				covered++
			}
			if row.BiasCI[0] <= 0 && 0 <= row.BiasCI[1] {
				biased++
			}
			plain += (row.Ratio - want) * (row.Ratio - want)
			shrunk += (row.Shrunk - want) * (row.Shrunk - want)
			x, y = append(x, row.Shrunk), append(y, want)
		}
		rho, _ := stats.Correlation(x, y)
		order = append(order, rho)
	}
	between(t, "interval on the board", covered, n)
	between(t, "interval of the bias", biased, n)
	if shrunk >= plain {
		t.Errorf("mean squared error %.4f shrunk, %.4f plain", shrunk/float64(n), plain/float64(n))
	}
	if m := stats.Quantile(order, 0.5); m < 0.5 {
		t.Errorf("the order follows the planted one by r = %.2f", m)
	}
}

// Whoever has few attempts is drawn to the class: the worked example of the shrinkage, on the board.
func TestBoardShrinksTheFew(t *testing.T) {
	one, part := 1.0, 1.0
	entry := func(name string, off float64) Entry {
		return Entry{Student: name, Mark: Mark{Perfect: &one, Margins: Margins{M: Margin{MlKgMin: &off, Percent: &part}}}}
	}
	var entries []Entry
	aliases := map[string]string{}
	for s := range 12 {
		name := fmt.Sprintf("s%02d", s)
		aliases[name] = name
		for k := range 8 {
			entries = append(entries, entry(name, 1+0.2*float64(s)+0.5*float64(k%3)))
		}
	}
	for k := range 5 {
		entries = append(entries, entry("few", 0.4+0.2*float64(k)))
		aliases["few"] = "few"
	}
	b := BoardOf(DefaultBoardRules(), entries, aliases)
	at := slices.IndexFunc(b.Rows, func(r BoardRow) bool { return r.Alias == "few" })
	if at < 0 || !(b.Rows[at].Shrunk > b.Rows[at].Ratio) || b.Rows[at].Ratio != 0.8 {
		t.Fatalf("%+v", b)
	}
	if wide, narrow := b.Rows[at].Interval, b.Rows[(at+1)%len(b.Rows)].Interval; wide[1]-wide[0] <= narrow[1]-narrow[0] {
		t.Errorf("the interval of few attempts %v is not wider than that of many %v", wide, narrow)
	}
}

// The board is for those who asked, by alias, with enough to go on, and never for whom the gate is closed.
func TestWhoStandsOnTheBoard(t *testing.T) {
	entries, _, _ := plantMargins(rand.New(rand.NewPCG(7, 8)), 16)
	aliases := map[string]string{}
	for s := range 15 { // the last did not ask
		aliases[fmt.Sprintf("s%03d", s)] = fmt.Sprintf("Bird %d", s)
	}
	aliases["s999"] = "Nobody"
	for i := range entries {
		switch entries[i].Student {
		case "s000":
			entries[i].Mark.Gate = []string{"a stop was missed"}
		case "s001":
			entries[i].Mark.Stops = Stops{Begun: true, False: i%2 == 0}
		case "s002":
			entries[i].Mark.Margins.M = Margin{WhyNot: "one usable stage"}
		}
	}
	rules := DefaultBoardRules()
	b := BoardOf(rules, entries, aliases)
	if b.People != 12 || len(b.LeftOut) != 4 {
		t.Fatalf("%d people, left out %v", b.People, b.LeftOut)
	}
	for i, r := range b.Rows {
		if r.Alias[:4] != "Bird" {
			t.Errorf("%q is no alias that was chosen", r.Alias)
		}
		if i > 0 && (r.Shrunk < b.Rows[i-1].Shrunk || r.Rank < b.Rows[i-1].Rank) {
			t.Errorf("row %d: %+v after %+v", i, r, b.Rows[i-1])
		}
	}
	seen, ok := b.SeenBy(rules, b.Rows[9].Alias)
	if !ok || len(seen.Rows) != 3+6 || len(seen.LeftOut) != 0 {
		t.Errorf("of twelve, the tenth sees %d rows and %v", len(seen.Rows), seen.LeftOut)
	}
	if _, ok := b.SeenBy(rules, "Nobody"); ok {
		t.Error("somebody who is not on the board sees it")
	}
	rules.LeastPeople = 13
	if b := BoardOf(rules, entries, aliases); len(b.Rows) != 0 || b.Hidden == "" {
		t.Errorf("shown though only %d stand on it", b.People)
	}
}

// A class of one, of nobody, or without any estimate has no statistics that are not defined, and no fault.
func TestStatisticsOfNextToNothing(t *testing.T) {
	for _, entries := range [][]Entry{nil, {{Student: "a"}}, {{Student: "a"}, {Student: "a"}, {Student: "b"}}} {
		c := StatisticsOf(entries)
		if c.Attempts != len(entries) || c.Reliability.Absolute != nil || len(c.NearLine) != 0 {
			t.Errorf("%+v", c)
		}
		if b := BoardOf(DefaultBoardRules(), entries, map[string]string{"a": "x"}); b.Hidden == "" {
			t.Errorf("%+v", b)
		}
	}
}

// Every rule asks for a competency that there is, and each competency is asked for.
func TestEveryRuleHasItsTags(t *testing.T) {
	met := map[string]bool{}
	for _, r := range Rules() {
		tags := TagsOf(r.Name)
		if len(tags) == 0 {
			t.Errorf("%s has no tag", r.Name)
		}
		for _, tag := range tags {
			met[tag] = true
			if !slices.Contains(Tags(), tag) {
				t.Errorf("%s: tag %q", r.Name, tag)
			}
		}
	}
	for _, tag := range Tags() {
		if !met[tag] {
			t.Errorf("no rule asks for %s", tag)
		}
	}
}

// BenchmarkClassStatistics works the statistics of 200 students with 10 attempts each.
func BenchmarkClassStatistics(b *testing.B) {
	p := plantClass(rand.New(rand.NewPCG(1, 2)), 200, 10, 0.8)
	for b.Loop() {
		StatisticsOf(p.entries)
	}
}
