package protocol

import "kilopond/physiology/unit"

// A Rating places a VO2max in a table of norms, and says which table, from which population, by which mode of exercise.
type Rating struct {
	Category   string `json:"category"`
	Table      string `json:"table"`
	Population string `json:"population"`
	Mode       string `json:"mode"`
}

// Categories are the six classes from the lowest.
func Categories() []string {
	return []string{"very poor", "poor", "fair", "good", "excellent", "superior"}
}

// Rate rates a VO2max by the table that the rules name.
func Rate(r Rules, sex unit.Sex, age unit.Age, vo2 unit.RelVO2) Rating {
	t := r.NormTable()
	return Rating{Category: t.Category(sex, age, vo2), Table: t.Title, Population: t.Population, Mode: t.Mode}
}
