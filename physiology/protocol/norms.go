package protocol

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/physiology/unit"
)

// A NormTable rates a VO2max by six classes: who was measured, and by which exercise, stands with every rating.
type NormTable struct {
	Name       string // as the rulebook's norms have it
	Title      string
	Population string
	Mode       string
	Source     string
	Oldest     unit.Age // of the printed rows; older people are rated by the last
	edges      map[unit.Sex][]Edges
	above      bool // the highest class needs more than its edge
}

// Edges are the lower edges of poor, fair, good, excellent and superior of one decade, the first that of the twenties.
type Edges [5]float64

// youngest is the age from which on the tables have rows. Source: [COOPER1997], [KAMINSKY2017], [LOE2013].
const youngest unit.Age = 20

// aClassLow is what a cycle estimate comes to in a table of treadmill tests. Source: [DERIVED-CLASS-LOW].
const aClassLow = "; a cycle estimate is rated about one class too low"

// percentiles are those at which a class begins in a table that prints percentiles. Source: [MEMORY-CLASS-PERCENTILES].
const percentiles = "classes from the 20th, 40th, 60th, 80th and 95th percentile"

// normTables are the tables that ship, the default first.
//
// Source: [COOPER1997]; [KAMINSKY2017] 20th, 40th, 60th, 80th and 95th percentiles by cycle; [LOE2013] mean and SD by treadmill.
func normTables() []NormTable {
	return []NormTable{
		{
			Name: "six-class", Title: "six classes by decade", Population: "people of a fitness centre", Mode: "treadmill, by time" + aClassLow, Source: "COOPER1997",
			Oldest: 99, above: true, // its last row is 60 and older
			edges: map[unit.Sex][]Edges{
				unit.Female: {
					{23.6, 29.0, 33.0, 37.0, 41.0}, {22.8, 27.0, 31.5, 35.7, 40.0}, {21.0, 24.5, 29.0, 32.9, 36.9}, {20.2, 22.8, 27.0, 31.5, 35.7}, {17.5, 20.2, 24.5, 30.3, 31.4},
				},
				unit.Male: {
					{33.0, 36.5, 42.5, 46.5, 52.4}, {31.5, 35.5, 41.0, 45.0, 49.4}, {30.2, 33.6, 39.0, 43.8, 48.0}, {26.1, 31.0, 35.8, 41.0, 45.3}, {20.5, 26.1, 32.3, 36.5, 44.2},
				},
			},
		},
		{
			Name: "us-cycle", Title: "US registry, " + percentiles, Population: "4494 tests of adults without heart disease, oxygen measured", Mode: "cycle", Source: "KAMINSKY2017",
			Oldest: 79,
			edges: map[unit.Sex][]Edges{
				unit.Female: {
					{21.6, 28.1, 33.6, 38.8, 45.2}, {17.0, 20.1, 22.5, 26.0, 33.2}, {15.8, 18.4, 20.7, 23.4, 29.3}, {14.9, 16.6, 18.2, 20.7, 25.0}, {14.0, 15.4, 16.7, 18.8, 22.0}, {12.8, 14.2, 15.4, 16.9, 19.2},
				},
				unit.Male: {
					{33.2, 38.3, 44.5, 51.4, 58.5}, {25.4, 28.1, 31.1, 36.2, 44.7}, {22.2, 25.4, 28.6, 34.2, 41.9}, {21.5, 23.6, 26.3, 30.7, 37.4}, {19.0, 21.4, 23.2, 26.7, 32.4}, {16.7, 18.5, 20.4, 24.5, 34.0},
				},
			},
		},
		{
			Name: "norway-treadmill", Title: "Norwegian survey, " + percentiles + " by its means and SDs", Population: "3810 healthy people of 20 to 90 years, oxygen measured",
			Mode: "treadmill" + aClassLow, Source: "LOE2013", Oldest: 90,
			edges: map[unit.Sex][]Edges{
				unit.Female: spreads([2]float64{43.0, 7.7}, [2]float64{40.0, 6.8}, [2]float64{38.4, 6.9}, [2]float64{34.4, 5.7}, [2]float64{31.1, 5.1}, [2]float64{28.3, 5.2}),
				unit.Male:   spreads([2]float64{54.4, 8.4}, [2]float64{49.1, 7.5}, [2]float64{47.2, 7.7}, [2]float64{42.6, 7.4}, [2]float64{39.2, 6.7}, [2]float64{35.3, 6.5}),
			},
		},
	}
}

// spreads turns means and SDs into the percentiles at which the classes begin, to a decimal as tables are printed.
func spreads(rows ...[2]float64) []Edges {
	z := Edges{-0.84162, -0.25335, 0.25335, 0.84162, 1.64485} // of the normal distribution
	var all []Edges
	for _, row := range rows {
		var e Edges
		for i := range e {
			e[i] = unit.Round(row[0]+float64(z[i]*row[1]), 1)
		}
		all = append(all, e)
	}
	return all
}

// NormNames lists the tables.
func NormNames() []string {
	var names []string
	for _, t := range normTables() {
		names = append(names, t.Name)
	}
	return names
}

// NormTable returns the table that the rules name; of a name that is none, which Check refuses, the default.
func (r Rules) NormTable() NormTable {
	all := normTables()
	return all[max(0, slices.IndexFunc(all, func(t NormTable) bool { return t.Name == r.Norms }))]
}

// decade is the row of an age: below 20 that of the twenties, above the last the last.
func (t NormTable) decade(sex unit.Sex, age unit.Age) int {
	return min(max(int(age)/10-2, 0), len(t.edges[sex])-1)
}

// Category returns the class of a VO2max.
func (t NormTable) Category(sex unit.Sex, age unit.Age, vo2 unit.RelVO2) string {
	// Values are printed to one decimal, so compare what would be printed.
	v, class := unit.Round(float64(vo2), 1), 0
	for i, edge := range t.edges[sex][t.decade(sex, age)] {
		if v >= edge && (!t.above || i < 4 || v > edge) {
			class = i + 1
		}
	}
	return Categories()[class]
}

// Described is the table with whom it was made from, and how.
func (t NormTable) Described() string { return t.Title + "; " + t.Population + "; " + t.Mode }

// OutsideRows says that an age has no row of its own; empty where it has.
func (t NormTable) OutsideRows(age unit.Age) string {
	switch {
	case age < youngest:
		return fmt.Sprintf("the table of norms begins at %v years: at %v its first row is read", youngest, age)
	case age > t.Oldest:
		return fmt.Sprintf("the table of norms ends at %v years: at %v its last row is read", t.Oldest, age)
	}
	return ""
}

// Rows is the table of one sex in words: the lower edges of the classes above the first, decade by decade.
func (t NormTable) Rows(sex unit.Sex) string {
	var rows []string
	for i, e := range t.edges[sex] {
		ages := fmt.Sprintf("%d–%d", 20+10*i, 29+10*i)
		if i == len(t.edges[sex])-1 && t.Oldest >= unit.Age(30+10*i) {
			ages = fmt.Sprintf("%d+", 20+10*i)
		}
		var edges []string
		for _, x := range e {
			edges = append(edges, num1(x))
		}
		rows = append(rows, ages+": "+strings.Join(edges, ", "))
	}
	return strings.Join(rows, "; ")
}
