package protocol

import (
	"errors"

	"kilopond/physiology/unit"
)

// nomogram holds VO2max in L/min, before the age factor, by heart rate in steps of 10 from 120 and by work rate. Zero: not printed.
// Source: [ASTRAND1960], from memory but for 900 kg·m/min at 150 bpm in men, which was seen in [HOUSH-LAB4].
var nomogram = map[unit.Sex]struct {
	work  []unit.WorkRate
	table [6][]float64
}{
	unit.Male: {
		work: rates(300, 600, 900, 1200, 1500),
		table: [6][]float64{
			{2.2, 3.5, 4.8, 0, 0}, {1.9, 3.0, 4.1, 5.5, 0}, {1.6, 2.6, 3.6, 4.8, 6.0},
			{0, 2.3, 3.2, 4.2, 5.3}, {0, 2.0, 2.8, 3.8, 4.7}, {0, 1.8, 2.6, 3.4, 4.3},
		},
	},
	unit.Female: {
		work: rates(300, 450, 600, 750, 900),
		table: [6][]float64{
			{2.6, 3.4, 4.1, 4.8, 0}, {2.1, 2.7, 3.4, 4.0, 4.7}, {1.8, 2.4, 2.8, 3.4, 4.0},
			{1.6, 2.0, 2.5, 3.0, 3.5}, {1.4, 1.8, 2.2, 2.6, 3.0}, {0, 1.6, 2.0, 2.4, 2.7},
		},
	},
}

// Nomogram returns VO2max in L/min from one work rate of six minutes and its heart rate, 120–170 bpm, before the age factor. Between the printed
// rows of 10 bpm it goes in a straight line. The work rate must be one of the table's.
func Nomogram(sex unit.Sex, work unit.WorkRate, hr unit.HR) (float64, error) {
	t, ok := nomogram[sex]
	if !ok {
		return 0, errors.New("sex must be M or F")
	}
	if hr < 120 || hr > 170 {
		return 0, errors.New("heart rate must be 120 to 170 bpm")
	}
	for i, w := range t.work {
		if w != work {
			continue
		}
		row := min(int(hr-120)/10, 4)
		low, high := t.table[row][i], t.table[row+1][i]
		part := (float64(hr) - 120 - 10*float64(row)) / 10
		if low == 0 && part < 1 || high == 0 && part > 0 {
			return 0, errors.New("the table has no value at that work rate and heart rate")
		}
		return low + (high-low)*part, nil
	}
	return 0, errors.New("the table has no column for that work rate")
}

// ageFactors are the ages and factors printed with the nomogram. Source: [ASTRAND1960], from memory.
var ageFactors = [][2]float64{{15, 1.10}, {25, 1.00}, {35, 0.87}, {40, 0.83}, {45, 0.78}, {50, 0.75}, {55, 0.71}, {60, 0.68}, {65, 0.65}}

// AgeFactor returns the factor by which a nomogram value is multiplied, in a straight line between the printed ages; 15–65 years.
func AgeFactor(age unit.Age) (float64, error) {
	x := float64(age)
	if x < ageFactors[0][0] || x > ageFactors[len(ageFactors)-1][0] {
		return 0, errors.New("age must be 15 to 65 years")
	}
	for i := 1; ; i++ {
		a, b := ageFactors[i-1], ageFactors[i]
		if x <= b[0] {
			return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0]), nil
		}
	}
}
