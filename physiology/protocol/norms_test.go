package protocol

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"kilopond/physiology/unit"
)

// Printed rows: who wrote them stands beside each in the file.
func TestNormsAgainstPrint(t *testing.T) {
	rows := readCSV(t, "testdata/norms.csv")
	if len(rows) < 20 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows[1:] {
		norms, sex, age, percent, value, source := r[0], unit.Sex(r[1]), unit.Age(parse(t, r[2])), parse(t, r[3]), parse(t, r[4]), r[5]
		want := classOf(percent)
		got := Rules{Norms: norms}.NormTable().Category(sex, age, unit.RelVO2(value))
		if got != want {
			t.Errorf("%s %s %v: %v mL/kg/min, percentile %v, is %s, want %s [%s]", norms, sex, age, value, percent, got, want, source)
		}
	}
}

// classOf is the class in which a percentile lies; one at an edge begins its class.
func classOf(percent float64) string {
	class := 0
	for i, edge := range []float64{20, 40, 60, 80, 95} {
		if percent >= edge {
			class = i + 1
		}
	}
	return Categories()[class]
}

// The Norwegian edges are percentiles of a normal distribution with the printed mean and SD, by another library's quantiles; a value a tenth
// below an edge is a class lower. Men of 40 to 49 by hand: 47.2 − 0.84 × 7.7 = 40.7.
func TestNorwegianEdges(t *testing.T) {
	table := Rules{Norms: "norway-treadmill"}.NormTable()
	for sex, rows := range map[unit.Sex][][2]float64{
		unit.Female: {{43.0, 7.7}, {40.0, 6.8}, {38.4, 6.9}, {34.4, 5.7}, {31.1, 5.1}, {28.3, 5.2}}, // [LOE2013] table 2
		unit.Male:   {{54.4, 8.4}, {49.1, 7.5}, {47.2, 7.7}, {42.6, 7.4}, {39.2, 6.7}, {35.3, 6.5}},
	} {
		for i, row := range rows {
			n := distuv.Normal{Mu: row[0], Sigma: row[1]}
			for k, p := range []float64{0.2, 0.4, 0.6, 0.8, 0.95} {
				edge := math.Round(10*n.Quantile(p)) / 10
				age := unit.Age(24 + 10*i)
				if got := table.Category(sex, age, unit.RelVO2(edge)); got != Categories()[k+1] {
					t.Errorf("%s %v: %v is %s, want %s", sex, age, edge, got, Categories()[k+1])
				}
				if got := table.Category(sex, age, unit.RelVO2(edge-0.1)); got != Categories()[k] {
					t.Errorf("%s %v: %v is %s, want %s", sex, age, edge-0.1, got, Categories()[k])
				}
			}
		}
	}
	if got := table.Rows(unit.Male); !strings.Contains(got, "40–49: 40.7, 45.2, 49.2, 53.7, 59.9; ") || !strings.Contains(got, "; 70+: 29.8, ") {
		t.Error(got)
	}
}

// Every table rises from class to class, does not rise with age, lies higher in men, and says whom and how it measured; treadmill tables say what
// they do to an estimate by cycle.
func TestNormTables(t *testing.T) {
	for _, name := range NormNames() {
		n := Rules{Norms: name}.NormTable()
		if n.Title == "" || n.Population == "" || n.Mode == "" || n.Source == "" {
			t.Errorf("%s does not say what it is: %+v", name, n)
		}
		if strings.Contains(n.Mode, "treadmill") != strings.Contains(n.Mode, "a cycle estimate is rated about one class too low") {
			t.Errorf("%s: mode %q", name, n.Mode)
		}
		for sex, rows := range n.edges {
			for i, e := range rows {
				for k, x := range e {
					if k > 0 && x <= e[k-1] {
						t.Errorf("%s %s row %d: %v after %v", name, sex, i, x, e[k-1])
					}
					if i > 0 && x > rows[i-1][k] && k < 4 { // the 95th percentile of few old men is printed above that of younger ones
						t.Errorf("%s %s row %d: %v at an age above that of %v", name, sex, i, x, rows[i-1][k])
					}
					if men := n.edges[unit.Male][i][k]; sex == unit.Female && x >= men {
						t.Errorf("%s row %d: women %v, men %v", name, i, x, men)
					}
				}
			}
		}
	}
	if got := (Rules{Norms: "no such table"}).NormTable().Name; got != "six-class" {
		t.Errorf("a name that Check refuses reads %s", got)
	}
}

// The same estimate by three tables: an estimate says which one, of whom and how, and where an age has no row.
func TestRatingFollowsTheTable(t *testing.T) {
	for _, c := range []struct {
		norms    string
		age      unit.Age
		category string
		mode     string
		outside  string
	}{
		{"six-class", 45, "fair", "treadmill, by time" + aClassLow, ""},
		{"us-cycle", 45, "excellent", "cycle", ""},
		{"norway-treadmill", 45, "very poor", "treadmill" + aClassLow, ""},
		{"us-cycle", 83, "superior", "cycle", "ends at 79 years: at 83"},
		{"us-cycle", 18, "poor", "cycle", "begins at 20 years: at 18"},
		{"six-class", 83, "good", "treadmill, by time" + aClassLow, ""},
	} {
		r := Default()
		r.Norms = c.norms
		got := Rate(r, unit.Male, c.age, 36)
		if got.Category != c.category || got.Mode != c.mode || got.Population == "" || got.Table == "" {
			t.Errorf("%s at %v: %+v, want %s", c.norms, c.age, got, c.category)
		}
		a := Estimate(r, Person{Sex: unit.Male, Age: c.age, Mass: 80, RestHR: 70},
			[]StagePoint{{Stage: 1, WorkRate: 300, Minutes: []unit.HR{110, 110}}, {Stage: 2, WorkRate: 450, Minutes: []unit.HR{116, 116}}})
		steps := strings.Join(a.Steps, "\n")
		if !strings.Contains(steps, "("+r.NormTable().Described()+")") {
			t.Errorf("%s: the steps do not say the table:\n%s", c.norms, steps)
		}
		if warned := strings.Contains(strings.Join(a.Warnings, "\n"), c.outside); c.outside != "" && !warned {
			t.Errorf("%s at %v: warnings %q", c.norms, c.age, a.Warnings)
		}
	}
}

// A house that asks for three stages gets them, whichever line it draws through them.
func TestThreeStagesNeeded(t *testing.T) {
	stages := []StagePoint{
		{Stage: 1, WorkRate: 300, Minutes: []unit.HR{112, 112}}, {Stage: 2, WorkRate: 450, Minutes: []unit.HR{124, 124}}, {Stage: 3, WorkRate: 600, Minutes: []unit.HR{140, 140}},
	}
	who := Person{Sex: unit.Male, Age: 30, Mass: 80, RestHR: 70}
	r := Default()
	r.StagesNeeded = 3
	// By hand: 600 + (190 − 140) × 150 / 16 = 1068.75 kg·m/min through the last two.
	if a := Estimate(r, who, stages); !a.Estimable || unit.Round(float64(a.MaxWorkRate), 2) != 1068.75 {
		t.Errorf("three stages, three needed: %v %q", a.MaxWorkRate, a.WhyNot)
	}
	if a := Estimate(r, who, stages[:2]); a.Estimable || a.WhyNot != "2 usable stages; the rules ask for 3" {
		t.Errorf("two stages, three needed: %q", a.WhyNot)
	}
}
