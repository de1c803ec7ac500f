package grader

import (
	"math"
	"math/rand/v2"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A PerfectCounter miscounts nothing that its fingers feel. What is left is that a count begins anywhere between two beats, and that one beat in
// a hundred is not felt while the person pedals: nobody can count those. Its margin is the yardstick of the board.
type PerfectCounter struct {
	phases [][]float64 // by draw and reading, 0 to 1: where between two beats the count begins
	luck   [][]float64 // as phases: how many beats are not felt
}

// unfelt is the chance that trained fingers do not feel a beat while the person pedals. Source: [CHOICE-FINGERS].
const unfelt = 0.01

// missed is how many of n beats are not felt, at a place between 0 and 1 of their distribution.
func missed(n int, luck float64) int {
	p := math.Pow(1-unfelt, float64(n)) // of none
	for k := 0; k < n; k++ {
		if luck < p {
			return k
		}
		luck -= p
		p *= float64(n-k) / float64(k+1) * unfelt / (1 - unfelt)
	}
	return n
}

// draws and mostReadings are how many counts of a path are tried, and how many readings a path may have; further ones go round again.
// Source: [CHOICE-BOARD].
const (
	draws        = 48
	mostReadings = 32
)

// NewPerfectCounter spreads the phases evenly over each reading (a Latin square in every dimension), always the same ones.
func NewPerfectCounter() *PerfectCounter {
	r := rand.New(rand.NewPCG(15, 48)) // any numbers: they fix the order only
	return &PerfectCounter{phases: square(r), luck: square(r)}
}

func square(r *rand.Rand) [][]float64 {
	s := make([][]float64, draws)
	for i := range s {
		s[i] = make([]float64, mostReadings)
	}
	for j := range mostReadings {
		for i, k := range r.Perm(draws) {
			s[i][j] = (float64(k) + r.Float64()) / draws
		}
	}
	return s
}

// A method is how the pulse was read during work.
type method struct {
	seconds int // 0 when beats were timed
	beats   int
}

// methodOf is the way in which most readings of the student were taken; the house's when there is none.
func methodOf(b Rulebook, c *Course) method {
	counts := map[method]int{}
	best, most := method{seconds: b.Count.Seconds}, 0
	for _, k := range c.Counts {
		if k.Stage <= 0 || !whole(k) {
			continue
		}
		m := method{seconds: k.Seconds}
		if k.Timed {
			m = method{beats: k.Beats}
		}
		if counts[m]++; counts[m] > most {
			best, most = m, counts[m]
		}
	}
	return best
}

// reads is what the method makes of a steady rate when it begins at the phase between two beats, with the luck of the fingers. Timed beats are
// read to a tenth of a second and written as whole bpm.
func (m method) reads(hr, phase, luck float64) float64 {
	if m.seconds > 0 {
		beats := math.Floor(hr*float64(m.seconds)/60 + phase)
		return (beats - float64(missed(int(beats), luck))) * 60 / float64(m.seconds)
	}
	passed := m.beats + missed(m.beats, luck) // while so many were felt
	tenths := math.Floor(600*float64(passed)/hr + phase)
	return math.Round(600 * float64(m.beats) / tenths)
}

// Expected is the mean |M| of a perfect counter by the student's own method on the student's own path, in mL/kg/min; nil when no such
// counter would get an estimate. answer is the worked answer on perfect readings.
func (p *PerfectCounter) Expected(b Rulebook, c *Course, answer protocol.Answer) *float64 {
	how := methodOf(b, c)
	var points []protocol.StagePoint
	var perfect []float64
	for _, s := range c.Stages {
		pt := protocol.StagePoint{Stage: s.Number, WorkRate: s.WorkRate}
		for _, m := range c.Closing.Minutes {
			if m.Stage == s.Number {
				perfect = append(perfect, m.HRbpm)
				pt.Minutes = append(pt.Minutes, 0)
			}
		}
		pt.Void = voidStage(b, s, len(pt.Minutes))
		points = append(points, pt)
	}
	var sum float64
	n := 0
	for draw, phases := range p.phases {
		j := 0
		for i := range points {
			for k := range points[i].Minutes {
				points[i].Minutes[k] = unit.HR(how.reads(perfect[j], phases[j%mostReadings], p.luck[draw][j%mostReadings]))
				j++
			}
		}
		if a := work(b, c, points); a.Estimable {
			sum += math.Abs(float64(a.VO2Rel - answer.VO2Rel))
			n++
		}
	}
	if n == 0 || sum == 0 {
		return nil
	}
	mean := sum / float64(n)
	return &mean
}
