package grader

import (
	"math"
	"math/rand/v2"

	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A PerfectCounter miscounts nothing: what is left is that a count begins anywhere between two beats. Its margin is the yardstick of the board.
type PerfectCounter struct {
	phases [][]float64 // by draw and reading, 0 to 1
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
	p := &PerfectCounter{phases: make([][]float64, draws)}
	for i := range p.phases {
		p.phases[i] = make([]float64, mostReadings)
	}
	for j := range mostReadings {
		for i, k := range r.Perm(draws) {
			p.phases[i][j] = (float64(k) + r.Float64()) / draws
		}
	}
	return p
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

// reads is what the method makes of a steady rate when it begins at the phase between two beats. Timed beats are read to a tenth of a second
// and written as whole bpm.
func (m method) reads(hr, phase float64) float64 {
	if m.seconds > 0 {
		return math.Floor(hr*float64(m.seconds)/60+phase) * 60 / float64(m.seconds)
	}
	tenths := math.Floor(600*float64(m.beats)/hr + phase)
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
	for _, phases := range p.phases {
		j := 0
		for i := range points {
			for k := range points[i].Minutes {
				points[i].Minutes[k] = unit.HR(how.reads(perfect[j], phases[j%mostReadings]))
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
