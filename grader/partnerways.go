package grader

import (
	"fmt"
	"math"
	"slices"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// beside plays the ways that the reference proctor did not take: on at the same person beyond the end, and the neighbouring columns.
func (k *Card) beside(b Rulebook, sc scenarios.Scenario, lines []exercises.Line, c *Course) error {
	own := k.ownBand(b, sc, c)
	end := len(lines)
	second := -1
	stages := 0
	for i, l := range lines {
		switch l.Command.Act {
		case exercises.Stage:
			if stages++; stages == 2 {
				second = i
			}
		case exercises.CoolDown, exercises.Stop:
			end = min(end, i)
		case exercises.Decide:
			if !begun(c) {
				end = min(end, i)
			}
		}
	}
	from := max(1, len(c.Stages))
	r, err := rideOn(b, sc, lines[:end], own, from+1)
	if err != nil {
		return err
	}
	k.Goes = r.after(from, k.Stages)
	if second < 0 {
		return nil
	}
	for _, band := range []int{own - 1, own + 1} {
		if band < 0 || band >= len(b.Bands) {
			continue
		}
		r, err := rideOn(b, sc, lines[:second], band, len(b.Bands[band].WorkRates)+1)
		if err != nil {
			return err
		}
		k.Other = append(k.Other, CardColumn{band, r.below(k.Worked.Ceiling)})
	}
	return nil
}

// ownBand is the column that the reference proctor entered, or the one that the first stage would have chosen.
func (k *Card) ownBand(b Rulebook, sc scenarios.Scenario, c *Course) int {
	if band, ok := enteredColumn(b, c); ok {
		if hr, read := branchHR(b, c); read {
			band, _ = protocol.Branch(b.Rules, hr)
		}
		return band
	}
	band, _ := protocol.Branch(b.Rules, sc.FirstStageHR(b.Rules, sc.Body()))
	return band
}

// A ride is a test that nobody ends in time.
type ride struct{ stages []CardStage }

// below are the stages from the second to the one in which the ceiling is reached.
func (r ride) below(ceiling unit.HR) []CardStage {
	for i, s := range r.stages {
		if n := len(s.Minutes); i > 0 && n > 0 && s.Minutes[n-1].HR >= ceiling {
			return r.stages[1 : i+1]
		}
	}
	return r.stages[min(1, len(r.stages)):]
}

// after is what lies beyond the stages of the reference proctor: the rest of the last one, and the next.
func (r ride) after(from int, reached []CardStage) []CardStage {
	var all []CardStage
	for _, s := range r.stages {
		if s.Number < from {
			continue
		}
		if s.Number == from && len(reached) > 0 {
			done := reached[len(reached)-1]
			s.Minutes = append([]CardMinute(nil), s.Minutes[min(len(s.Minutes), max(0, counted(done))):]...)
			if len(s.Minutes) == 0 {
				continue
			}
		}
		all = append(all, s)
	}
	return all
}

// counted is how many minutes of a stage have their count.
func counted(s CardStage) int {
	n := 0
	for _, m := range s.Minutes {
		if m.Beats > 0 {
			n = m.Minute
		}
	}
	return n
}

// rideOn does the commands that are given and then goes on regardless in a column up to a stage, asking and looking once a minute, until the
// person stops. Readings are those of a perfect counter and listener.
func rideOn(b Rulebook, sc scenarios.Scenario, lines []exercises.Line, band, stages int) (ride, error) {
	s := exercises.Begin(exercises.NewHeader(sc, b.JSON(), b.Hash(), "demo", false), sc)
	for _, l := range lines {
		if _, err := s.Do(l.Command); err != nil {
			return ride{}, fmt.Errorf("case %s, seed %d: %w", sc.Case.ID, sc.Seed, err)
		}
	}
	st := s.State()
	done := slices.Clone(lines)
	do := func(c exercises.Command) bool {
		l, err := s.Do(c)
		done = append(done, l)
		return err == nil
	}
	waitTo := func(at int) {
		for st.ClockS < at && st.Pedalling {
			if !do(exercises.Command{Act: exercises.Wait, Seconds: at - st.ClockS}) {
				return
			}
		}
	}
	if st.Phase() == exercises.Before {
		do(exercises.Command{Act: exercises.Decide, What: "test"})
		do(exercises.Command{Act: exercises.Seat, What: "cycle"})
		do(exercises.Command{Act: exercises.Metronome, CadenceRPM: float64(b.Cadence)})
		do(exercises.Command{Act: exercises.Pedal})
	}
	if st.Phase() == exercises.WarmUp {
		waitTo(st.PedalFromS + b.WarmUpS)
	}
	for st.Pedalling && st.Stage <= stages {
		if st.Stage > 0 {
			for minute := (st.ClockS - st.StageFromS) / 60; minute < b.StageS/60 && st.Pedalling; minute++ {
				waitTo(st.StageFromS + 60*minute + rideLooksS)
				do(exercises.Command{Act: exercises.Look})
				do(exercises.Command{Act: exercises.Ask, What: "symptoms"})
				waitTo(st.StageFromS + 60*minute + 60)
			}
			if st.Pedalling {
				do(exercises.Command{Act: exercises.Ask, What: "exertion"})
			}
		}
		if st.Stage == stages || !st.Pedalling {
			break
		}
		work := protocol.WorkRateOfStage(b.Rules, band, st.Stage+1)
		if !do(exercises.Command{Act: exercises.Stage, ResistanceKp: float64(work.Resistance(b.Cadence))}) {
			break // the brake goes no further
		}
	}
	stopped := !st.Pedalling
	if st.EndedAtS < 0 && !do(exercises.Command{Act: exercises.Stop}) {
		return ride{}, fmt.Errorf("case %s, seed %d: the ride cannot be ended", sc.Case.ID, sc.Seed)
	}
	do(exercises.Command{Act: exercises.Release})
	if !do(exercises.Command{Act: exercises.HandIn}) {
		return ride{}, fmt.Errorf("case %s, seed %d: the ride cannot be closed", sc.Case.ID, sc.Seed)
	}
	c := ReadState(b, st)
	r := ride{cardStages(b, c, lookedAt(done), false)}
	if n := len(r.stages); n > 0 {
		r.stages[n-1].Stopped = stopped
	}
	r.read(b, c)
	return r, nil
}

// rideLooksS is when in the minute the person is looked at and asked, in seconds. Source: [CHOICE-LOOK].
const rideLooksS = 35

// read puts in what a perfect counter and listener would have read.
func (r *ride) read(b Rulebook, c *Course) {
	for i := range r.stages {
		s := &r.stages[i]
		for _, m := range c.Closing.Minutes {
			if m.Stage != s.Number {
				continue
			}
			for len(s.Minutes) < m.Minute {
				s.Minutes = append(s.Minutes, CardMinute{Minute: len(s.Minutes) + 1})
			}
			x := &s.Minutes[m.Minute-1]
			x.Beats = int(math.Round(m.HRbpm * float64(b.Count.Seconds) / 60))
			x.Seconds, x.HR = b.Count.Seconds, unit.HR(60*float64(x.Beats))/unit.HR(b.Count.Seconds)
			x.Pressure = ""
			if m.Minute == b.StageS/60 {
				x.Pressure = fmt.Sprintf("%.0f/%.0f", evenly(m.SBPmmHg), evenly(m.DBPmmHg))
			}
		}
		s.close()
	}
}

// evenly is a pressure to the marks of the gauge, in mmHg. Source: [PICKERING2005].
func evenly(mmHg float64) float64 { return 2 * math.Round(mmHg/2) }
