package stats

import "math"

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
	weight = c.Within / (c.Within + float64(float64(n)*c.Between))
	return weight*c.Mean + (1-weight)*own, weight
}

// Interval is the 95 % interval of a student's true mean about the shrunk one: what is left of the spread between students after n attempts, and
// what is not known of the class mean, of which students there were. It is narrower than the student's own interval and leans to the class.
// Source: [MORRIS1983], without the small term for the weight's own error.
func (c Class) Interval(shrunk float64, n, students int) [2]float64 {
	half := normal95 * c.Error(n, students)
	return [2]float64{shrunk - half, shrunk + half}
}

// Error is the standard error of a shrunk mean of n attempts.
func (c Class) Error(n, students int) float64 {
	if n < 1 || students < 1 {
		return 0
	}
	_, weight := c.Shrunk(0, n)
	own := c.Within / float64(n)
	ofMean := (c.Between + own) / float64(students)
	return math.Sqrt(float64((1-weight)*own) + float64(weight*weight*ofMean))
}

// Nested is the reliability of a student's mean when each has attempts of their own: the share of its variance that lies between students.
// ok is false as for Components, or without any spread. Source: [SHROUT1979], ICC(1,k), by moments for unequal numbers.
func (c Class) Nested(attempts [][]float64) (r float64, ok bool) {
	var shares []float64
	for _, a := range attempts {
		if len(a) > 0 {
			shares = append(shares, 1/float64(len(a)))
		}
	}
	if len(shares) == 0 {
		return 0, false
	}
	return ratio(c.Between, c.Between+c.Within*mean(shares))
}
