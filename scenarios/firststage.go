package scenarios

import (
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// FirstStageHR is the heart rate that chooses the band when the first stage is run as the rules say, taken without a counting error: by it a class
// is balanced over the rows of the branch table. It plays the subject's own body, whatever is wrong with it, on a brake that pulls as it should.
func (s Scenario) FirstStageHR(r protocol.Rules, b *body.Body) unit.HR {
	b.Reset(s.Traits, s.Day, s.Case.Ills, s.Stream("ill"), s.Stream("noise"))
	set := body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: r.Cadence}
	for range r.WarmUpS {
		b.Step(set)
	}
	set.Resistance = r.FirstWorkRate.Resistance(r.Cadence)
	const window = 15 // s before a minute mark. Source: [CSEP2009].
	var last, before float64
	for t := 1; t <= r.StageS; t++ {
		b.Step(set)
		hr := float64(b.Now().HR) / window
		if t > r.StageS-window {
			last += hr
		} else if t > r.StageS-60-window && t <= r.StageS-60 {
			before += hr
		}
	}
	if r.BranchHR == protocol.MeanLastTwo && r.StageS >= 60+window {
		return unit.HR((last + before) / 2)
	}
	return unit.HR(last)
}

// FirstStageGuess is FirstStageHR from the traits alone: cheap, and most often within 10 bpm in a person with whom nothing is the matter. It is good for
// passing people over, never for a decision.
//
// Source: [SWAIN1997] identity of the reserves.
func (s Scenario) FirstStageGuess(r protocol.Rules) unit.HR {
	t, d := s.Traits, s.Day
	x := (float64(t.UnloadedCost) + float64(t.O2Cost*r.FirstWorkRate.Watts())) / float64(t.VO2Max-t.VO2Rest)
	away := 1 - min(x, 1)
	return t.RestHR + unit.HR(float64(float64(t.TrueMaxHR-t.RestHR)*x)+d.HRShift+float64(d.Nerves*away*away))
}
