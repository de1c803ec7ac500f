package body

import "math/rand/v2"

// Dip is a systolic pressure that sinks for the better part of a minute in one stage and comes back by itself: a held breath, an arm moved.
// Nothing is felt and nothing is wrong; a repeat is in line. Source: [CHOICE-NUISANCE].
type Dip struct {
	Stage int  `json:"stage" yaml:"stage"` // counted by rises of the load
	Fall  Span `json:"fall_mmhg" yaml:"fall_mmhg"`
}

func (Dip) name() string { return "dip" }

func (d Dip) check() []string {
	faults := inside(nil, "fall_mmhg", d.Fall, 5, 60)
	if d.Stage < 1 || d.Stage > 6 {
		faults = append(faults, "stage: 1 to 6")
	}
	return faults
}

func (d Dip) start(_ Traits, r *rand.Rand) mechanism {
	return &dip{stage: d.Stage, fall: d.Fall.draw(r)}
}

type dip struct {
	healthy
	stage, rises int
	load         float64 // kp in the second before
	inStage      int     // s since the load last rose
	fall, lost   float64 // mmHg
}

// The dip is there from 1:45 to 2:40 of its stage, when a pressure is usually taken; it comes and goes within seconds. 1 − exp(−1/6).
// Source: [CHOICE-NUISANCE].
const (
	dipFromS = 105
	dipToS   = 160
	dipping  = 0.15351827510938598
)

func (d *dip) after(b *Body) {
	load := float64(b.last.Resistance)
	d.inStage++
	if b.last.Pedalling && load > d.load+0.1 {
		d.rises++
		d.inStage = 0
	}
	d.load = load
	level := 0.0
	if b.working() && d.rises == d.stage && d.inStage >= dipFromS && d.inStage < dipToS {
		level = d.fall
	}
	by := float64((level - d.lost) * dipping)
	d.lost += by
	b.shift(-by, 0)
}

func (d *dip) pressure(_ *Body, sbp, dbp float64) (float64, float64) { return sbp - d.lost, dbp }
