package grader

import (
	"cmp"
	"math"
	"slices"

	"kilopond/grader/stats"
	"kilopond/physiology/unit"
)

// ClassStatistics is what a class got right and wrong. A nil number is not defined for this class, or rests on too few.
type ClassStatistics struct {
	Students    int            `json:"students"`
	Attempts    int            `json:"attempts"`
	Passed      int            `json:"passed"`
	Items       []ItemOfClass  `json:"items"`
	Tags        []TagOfClass   `json:"tags"`
	Slips       []SlipOfClass  `json:"slips"`
	Reliability Reliability    `json:"reliability"`
	Consistency Consistency    `json:"decision_consistency"`
	Stops       []StopsOfClass `json:"stops"`
	Agreement   []Agreeing     `json:"agreement"`
	Margins     []Distance     `json:"margins"`
	NearLine    []Near         `json:"near_line"`
	Needs       []ToPractise   `json:"needs"`
}

// LeastReached is how many students must have reached an item before its difficulty is told. Source: [CHOICE-CLASS].
const LeastReached = 10

// An ItemOfClass is how a class did at one rule. A student's credit is the mean over the attempts in which the rule was reached.
type ItemOfClass struct {
	Rule           string   `json:"rule"`
	Part           Part     `json:"part"`
	Tags           []string `json:"tags"`
	Skill          string   `json:"skill"`
	Students       int      `json:"students_reached"`
	Attempts       int      `json:"attempts_reached"`
	Difficulty     *float64 `json:"difficulty"`     // mean credit over the students: 1 is easy
	Discrimination *float64 `json:"discrimination"` // correlation with the rest of the points, without this item
	UpperLower     *float64 `json:"upper_lower"`    // top 27 % minus bottom 27 %, by the rest
	Reads          string   `json:"reads"`          // good, fair, marginal, poor; "" when not told
	GatesClosed    int      `json:"gates_closed"`   // attempts
}

// A TagOfClass is one competency over all its items.
type TagOfClass struct {
	Tag      string   `json:"tag"`
	Rules    int      `json:"rules_reached"`
	Students int      `json:"students_reached"`
	Credit   *float64 `json:"mean_credit"` // of the points in reach, mean over students
}

// A SlipOfClass is a known error of calculation, by how many made it.
type SlipOfClass struct {
	Item     string `json:"item"`
	Slip     string `json:"slip"`
	Students int    `json:"students"`
	Attempts int    `json:"attempts"`
}

// A studentScore is one student with points by rule.
type studentScore struct {
	name             string
	marks            []Mark
	earned, reach    float64
	credit           map[string][]float64 // by rule, of each attempt
	ruleEarn, ruleOf map[string]float64   // points by rule
}

func scores(entries []Entry) []studentScore {
	index := map[string]int{}
	var all []studentScore
	for _, e := range entries {
		i, ok := index[e.Student]
		if !ok {
			i = len(all)
			index[e.Student] = i
			all = append(all, studentScore{name: e.Student, credit: map[string][]float64{}, ruleEarn: map[string]float64{}, ruleOf: map[string]float64{}})
		}
		s := &all[i]
		s.marks = append(s.marks, e.Mark)
		for _, it := range e.Mark.Items {
			if it.Places == 0 {
				continue
			}
			s.credit[it.Rule] = append(s.credit[it.Rule], it.Credit)
			s.ruleEarn[it.Rule] += float64(it.Credit * it.Points)
			s.ruleOf[it.Rule] += it.Points
			s.earned += float64(it.Credit * it.Points)
			s.reach += it.Points
		}
	}
	slices.SortStableFunc(all, func(a, b studentScore) int { return cmp.Compare(a.name, b.name) })
	return all
}

// StatisticsOf works the statistics of a class from the attempts that count. Item statistics divide by n, agreement by n − 1.
// Source: [CHOICE-CLASS]; formulas as in the package stats.
func StatisticsOf(entries []Entry) ClassStatistics {
	students := scores(entries)
	standings := Standings(entries)
	c := ClassStatistics{
		Students: len(students), Attempts: len(entries), Items: itemsOfClass(students), Tags: tagsOfClass(students), Slips: slipsOfClass(students),
		Reliability: reliability(students), Consistency: consistency(students), Stops: stopsOfClass(entries), Agreement: agreeing(entries),
		Margins: distances(entries), NearLine: []Near{}, Needs: needs(students),
	}
	for _, s := range standings {
		if s.Passed {
			c.Passed++
		}
		if sem := c.Reliability.SEM; sem != nil && s.Percent != nil {
			half := 1.96 * *sem
			if math.Abs(*s.Percent-s.Pass) <= half {
				c.NearLine = append(c.NearLine, Near{Student: s.Student, Percent: *s.Percent, Low: unit.Round(max(0, *s.Percent-half), 1),
					High: unit.Round(min(100, *s.Percent+half), 1), Line: s.Pass, GateClosed: s.GateClosed})
			}
		}
	}
	return c
}

func itemsOfClass(students []studentScore) []ItemOfClass {
	all := []ItemOfClass{}
	for _, rule := range Rules() {
		it := ItemOfClass{Rule: rule.Name, Part: rule.Part, Tags: TagsOf(rule.Name), Skill: SkillFor(rule.Name)}
		var credit, rest []float64
		for _, s := range students {
			for _, m := range s.marks {
				for _, x := range m.Items {
					if x.Rule == rule.Name && len(x.Closes) > 0 {
						it.GatesClosed++
					}
				}
			}
			got := s.credit[rule.Name]
			if len(got) == 0 {
				continue
			}
			it.Students++
			it.Attempts += len(got)
			if others := s.reach - s.ruleOf[rule.Name]; others > 0 {
				credit = append(credit, stats.Mean(got))
				rest = append(rest, (s.earned-s.ruleEarn[rule.Name])/others)
			}
		}
		if it.Students == 0 && it.GatesClosed == 0 {
			continue
		}
		if len(credit) >= LeastReached {
			it.Difficulty = figure(stats.Difficulty(credit, 1), 3)
			if r, ok := stats.Correlation(credit, rest); ok {
				it.Discrimination, it.Reads = figure(r, 3), stats.Discriminates(r)
			}
			if d, ok := stats.UpperLower(credit, rest, 1); ok {
				it.UpperLower = figure(d, 3)
			}
		}
		all = append(all, it)
	}
	return all
}

func tagsOfClass(students []studentScore) []TagOfClass {
	all := []TagOfClass{}
	for _, tag := range Tags() {
		t := TagOfClass{Tag: tag}
		var asked []string
		for _, r := range Rules() {
			if slices.Contains(TagsOf(r.Name), tag) {
				asked = append(asked, r.Name)
			}
		}
		rules := map[string]bool{}
		var shares []float64
		for _, s := range students {
			var earned, of float64
			for _, rule := range asked {
				if points := s.ruleOf[rule]; points > 0 {
					rules[rule] = true
					earned, of = earned+s.ruleEarn[rule], of+points
				}
			}
			if of > 0 {
				shares = append(shares, earned/of)
			}
		}
		t.Rules, t.Students = len(rules), len(shares)
		if len(shares) > 0 {
			t.Credit = figure(stats.Mean(shares), 3)
		}
		all = append(all, t)
	}
	return all
}

func slipsOfClass(students []studentScore) []SlipOfClass {
	type key struct{ item, name string }
	counts := map[key]*SlipOfClass{}
	for _, s := range students {
		own := map[key]bool{}
		for _, m := range s.marks {
			for _, x := range m.Slips {
				k := key{x.Item, x.Name}
				if counts[k] == nil {
					counts[k] = &SlipOfClass{Item: x.Item, Slip: x.Name}
				}
				counts[k].Attempts++
				if !own[k] {
					own[k] = true
					counts[k].Students++
				}
			}
		}
	}
	all := []SlipOfClass{}
	for _, s := range counts {
		all = append(all, *s)
	}
	slices.SortFunc(all, func(a, b SlipOfClass) int {
		return cmp.Or(cmp.Compare(b.Students, a.Students), cmp.Compare(b.Attempts, a.Attempts), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Slip, b.Slip))
	})
	return all
}

// figure is a number as it is told, by the decimals of its kind.
func figure(x float64, decimals int) *float64 {
	v := unit.Round(x, decimals) + 0 // no minus before zero
	return &v
}
