package exercises

import (
	"slices"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
)

// A recorder keeps what was so, second by second, until the attempt is closed. Nothing of it is in a State before that.
type recorder struct {
	hr, sbp, dbp, cadence, work []float64 // of each second; index 0 is the first
	settled, straight           []float64 // bpm, as the body's Level has them
	counts, cuffs               [][2]int  // from, to
	signs                       []SignSpan
}

// second notes one second that has passed.
func (r *recorder) second(clockS int, now body.State, level body.Level, symptoms []body.Symptom) {
	r.settled = append(r.settled, float64(level.Settled))
	r.straight = append(r.straight, float64(level.Straight))
	r.hr = append(r.hr, float64(now.HR))
	r.sbp = append(r.sbp, float64(now.SBP))
	r.dbp = append(r.dbp, float64(now.DBP))
	r.cadence = append(r.cadence, float64(now.Cadence))
	r.work = append(r.work, float64(now.WorkRate))
	for _, y := range symptoms {
		for grade := 1; grade <= y.Grade; grade++ { // a span is the time at one grade or above
			r.present(clockS, body.Symptom{Sign: y.Sign, Channel: y.Channel, Grade: grade})
		}
	}
}

// present lengthens the sign's open span, or opens one.
func (r *recorder) present(clockS int, y body.Symptom) {
	for i := len(r.signs) - 1; i >= 0; i-- {
		span := &r.signs[i]
		if span.Sign == string(y.Sign) && span.Channel == string(y.Channel) && span.Grade == y.Grade && span.ToS >= clockS {
			span.ToS = clockS + 1
			return
		}
	}
	r.signs = append(r.signs, SignSpan{Sign: string(y.Sign), Channel: string(y.Channel), Grade: y.Grade, FromS: clockS, ToS: clockS + 1})
}

// withheld ends the sign's open span at a question that did not bring it to light.
func (r *recorder) withheld(clockS int, sign body.Sign) {
	for i := range r.signs {
		if span := &r.signs[i]; span.Sign == string(sign) && span.Channel == string(body.Found) && span.ToS > clockS {
			span.ToS = clockS
		}
	}
	r.signs = slices.DeleteFunc(r.signs, func(span SignSpan) bool { return span.FromS >= span.ToS })
}

func (r *recorder) counted(from, to int) { r.counts = append(r.counts, [2]int{from, to}) }
func (r *recorder) cuffed(from, to int)  { r.cuffs = append(r.cuffs, [2]int{from, to}) }

// over is the mean of the seconds after from up to and including to, to a tenth.
func over(values []float64, from, to int) float64 { return unit.Round(mean(values, from, to), 1) }

// mean is over, not rounded.
func mean(values []float64, from, to int) float64 {
	from, to = max(from, 0), min(to, len(values))
	if from >= to {
		from = max(0, to-1)
	}
	if to == 0 {
		return 0
	}
	var sum float64
	for _, v := range values[from:to] {
		sum += v
	}
	return sum / float64(to-from)
}

// perfectS is the window of a perfect reading before a minute mark. Source: [CSEP2009].
const perfectS = 15

// Rates are the heart rates of one perfect window, in bpm: as a monitor shows it, and as it would be with a cause of its course taken away.
type Rates struct {
	Perfect  unit.HR // to a tenth, as in MinuteTruth
	Settled  unit.HR // at the level of the work, without lag and wander
	Straight unit.HR // and without the bend of heart rate on work rate
}

// RatesTo returns the rates of the window that ends with the second toS. They are the truth: ok is false until the sheet is handed in, and of a
// second that has not come.
func (s *Session) RatesTo(toS int) (r Rates, ok bool) {
	if !s.state.Closed || toS < 1 || toS > len(s.truth.hr) {
		return Rates{}, false
	}
	of := func(values []float64) float64 { return mean(values, toS-perfectS, toS) }
	return Rates{
		Perfect: unit.HR(over(s.truth.hr, toS-perfectS, toS)), Settled: unit.HR(of(s.truth.settled)), Straight: unit.HR(of(s.truth.straight)),
	}, true
}

// close is the last fact of an attempt.
func (r *recorder) close(s *Session) HandedIn {
	h := HandedIn{Truth: s.subject.Truth(), Minutes: []MinuteTruth{}, Counts: []CountTruth{}, Cuffs: []CuffTruth{}, Signs: append([]SignSpan{}, r.signs...)}
	for i, start := range s.state.stageStarts() {
		for m := 1; start.fromS+60*m <= start.toS; m++ {
			at := start.fromS + 60*m
			h.Minutes = append(h.Minutes, MinuteTruth{
				Stage: i + 1, Minute: m, AtS: at, HRbpm: over(r.hr, at-perfectS, at), SBPmmHg: over(r.sbp, at-1, at), DBPmmHg: over(r.dbp, at-1, at),
				Cadence: over(r.cadence, at-60, at), WorkKgm: over(r.work, at-60, at),
			})
		}
	}
	for _, c := range r.counts {
		h.Counts = append(h.Counts, CountTruth{FromS: c[0], HRbpm: over(r.hr, c[0], c[1])})
	}
	for _, c := range r.cuffs {
		h.Cuffs = append(h.Cuffs, CuffTruth{FromS: c[0], SBPmmHg: over(r.sbp, c[0], c[1]), DBPmmHg: over(r.dbp, c[0], c[1])})
	}
	return h
}

// A stretch is one stage as it ran.
type stretch struct{ fromS, toS int }

// stageStarts are the stages in order; the last ends with the test, or now.
func (s *State) stageStarts() []stretch {
	var all []stretch
	for _, e := range s.Events {
		switch e.Fact.(type) {
		case StageStarted:
			if n := len(all); n > 0 {
				all[n-1].toS = e.AtS
			}
			all = append(all, stretch{e.AtS, s.ClockS})
		case TestEnded:
			if n := len(all); n > 0 {
				all[n-1].toS = e.AtS
			}
		}
	}
	return all
}
