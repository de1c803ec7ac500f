package protocol

import "kilopond/physiology/unit"

// A Rating places a VO2max in a table of norms, and says which table, from which population, by which mode of exercise.
type Rating struct {
	Category   string `json:"category"`
	Table      string `json:"table"`
	Population string `json:"population"`
	Mode       string `json:"mode"`
}

// sixClasses holds the lower edges of poor, fair, good, excellent and superior by decade of age. Source: [COOPER1997].
var sixClasses = map[unit.Sex][5][5]float64{
	unit.Female: {
		{23.6, 29.0, 33.0, 37.0, 41.0}, {22.8, 27.0, 31.5, 35.7, 40.0}, {21.0, 24.5, 29.0, 32.9, 36.9},
		{20.2, 22.8, 27.0, 31.5, 35.7}, {17.5, 20.2, 24.5, 30.3, 31.4},
	},
	unit.Male: {
		{33.0, 36.5, 42.5, 46.5, 52.4}, {31.5, 35.5, 41.0, 45.0, 49.4}, {30.2, 33.6, 39.0, 43.8, 48.0},
		{26.1, 31.0, 35.8, 41.0, 45.3}, {20.5, 26.1, 32.3, 36.5, 44.2},
	},
}

// Categories are the six classes from the lowest.
func Categories() []string {
	return []string{"very poor", "poor", "fair", "good", "excellent", "superior"}
}

// Category returns the class of the six-class table, which goes by treadmill: a cycle estimate is rated about one class too low.
// Below 20 the row of the twenties is used. "Superior" needs more than its edge. Source: [COOPER1997].
func Category(sex unit.Sex, age unit.Age, vo2 unit.RelVO2) string {
	row := min(max(int(age)/10-2, 0), 4)
	edges := sixClasses[sex][row]
	names := Categories()
	// Values are printed to one decimal, so compare what would be printed.
	v := unit.Round(float64(vo2), 1)
	class := 0
	for i, edge := range edges {
		if v >= edge && (i < 4 || v > edge) {
			class = i + 1
		}
	}
	return names[class]
}

// Rate rates a VO2max by the table that the rules name.
func Rate(_ Rules, sex unit.Sex, age unit.Age, vo2 unit.RelVO2) Rating {
	return Rating{
		Category:   Category(sex, age, vo2),
		Table:      "six classes by decade",
		Population: "people of a fitness centre, by treadmill time",
		Mode:       "treadmill; a cycle estimate is rated about one class too low",
	}
}
