package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Class is how margins vary between and within the students of a class.
type Class struct {
	Mean    float64 // of the students' own means
	Within  float64 // variance of one attempt about the student's own mean, pooled
	Between float64 // variance of the students' true means; 0 when chance explains all
}

// Components estimates the class from the attempts of each student; ok is false unless two students have attempts and one of them two.
// Source: [CHOICE-SHRINK], the method of moments.
func Components(attempts [][]float64) (c Class, ok bool) {
	var means, shares []float64
	var within, freedom float64
	for _, a := range attempts {
		if len(a) == 0 {
			continue
		}
		means = append(means, mean(a))
		shares = append(shares, 1/float64(len(a)))
		within += squares(a)
		freedom += float64(len(a) - 1)
	}
	if len(means) < 2 || freedom == 0 {
		return c, false
	}
	c.Mean = mean(means)
	c.Within = within / freedom
	c.Between = max(0, squares(means)/float64(len(means)-1)-c.Within*mean(shares))
	return c, true
}

// Shrunk is a student's mean of n attempts drawn towards the class, and the weight of the class in it: few attempts say little.
func (c Class) Shrunk(own float64, n int) (shrunk, weight float64) {
	if c.Within == 0 && c.Between == 0 {
		return own, 0
	}
	weight = c.Within / (c.Within + float64(n)*c.Between)
	return weight*c.Mean + (1-weight)*own, weight
}

// Upper is the upper one-sided 95 % limit of a mean of attempts, the plainer way to be careful with few; ok is false with fewer than two.
func Upper(attempts []float64) (limit float64, ok bool) {
	n := float64(len(attempts))
	if n < 2 {
		return 0, false
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.95)
	return mean(attempts) + t*sd(attempts)/math.Sqrt(n), true
}
