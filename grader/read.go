package grader

import (
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// Read digests an attempt. One that was never handed in is digested too; what rests on the truth is then absent.
func Read(h exercises.Header, lines []exercises.Line) (*Course, error) {
	state, err := exercises.Rebuild(h, lines)
	if err != nil {
		return nil, err
	}
	book, err := FromJSON(h.Rulebook)
	if err != nil {
		return nil, err
	}
	return ReadState(book, state), nil
}

// ReadState digests an attempt as it stands, under a rulebook.
func ReadState(b Rulebook, state *exercises.State) *Course {
	c := &Course{Header: state.Header, State: state, PedalAtS: -1, EndedAtS: -1, StoppedAtS: -1, ReleasedAtS: -1}
	for _, e := range state.Events {
		c.take(b, e)
	}
	if n := len(c.Stages); n > 0 && c.Stages[n-1].ToS < 0 {
		c.Stages[n-1].ToS, c.Stages[n-1].Last = state.ClockS, true
	}
	c.matchSheet()
	c.matchTruth()
	return c
}

func (c *Course) take(b Rulebook, e exercises.Event) {
	switch f := e.Fact.(type) {
	case exercises.Prepared:
		c.Prepared = append(c.Prepared, Step{f.Act, f.What, e.AtS})
	case exercises.Said:
		if f.To != "" && f.To != "greeting" {
			c.asked(f.To, e.AtS)
		}
	case exercises.Noticed:
		if !f.Unasked {
			c.Looks = append(c.Looks, e.AtS)
		}
	case exercises.PulseFelt:
		k := Count{FromS: f.FromS, ToS: f.FromS + f.Seconds, KnownS: f.FromS + f.Seconds, Seconds: f.Seconds, Beats: len(f.Tenths), Odd: instrument.OddGaps(f.Tenths), CutShort: f.CutShort}
		if f.Seconds > 0 {
			k.HR = unit.HR(60 * float64(k.Beats) / float64(f.Seconds))
		}
		k.Stage, k.Minute = c.State.PlaceOf(k.FromS, k.ToS)
		c.Counts = append(c.Counts, k)
	case exercises.BeatsTimed:
		k := Count{FromS: f.FromS, ToS: e.AtS, KnownS: e.AtS, Seconds: (f.Tenths + 5) / 10, Timed: true, Beats: f.Beats, CutShort: f.CutShort}
		if f.Tenths > 0 {
			k.HR = unit.HR(600 * float64(f.Beats) / float64(f.Tenths))
		}
		k.Stage, k.Minute = c.State.PlaceOf(k.FromS, k.ToS)
		c.Counts = append(c.Counts, k)
	case exercises.CuffFell:
		sounds := instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
		k := CuffTake{FromS: f.FromS, ToS: e.AtS, KnownS: e.AtS, Top: f.TopMmHg, Valve: f.ValveMmHgS, Heard: f.Heard, CutShort: f.CutShort,
			Systolic: sounds.Systolic, Diastolic: sounds.Diastolic, Sounded: sounds.Any && !sounds.HeardAtOnce}
		k.Stage, k.Minute = c.State.PlaceOf(k.FromS, k.ToS)
		c.Cuffs = append(c.Cuffs, k)
	case exercises.HelperReported:
		c.reported(f, e.AtS)
	case exercises.ExertionGiven:
		c.asked("exertion", e.AtS)
		stage, _ := c.State.PlaceOf(e.AtS, e.AtS)
		c.Exertions = append(c.Exertions, Exertion{e.AtS, unit.RPE(f.RPE), stage})
	case exercises.Decided:
		c.Screening = append(c.Screening, Step{exercises.Decide, f.What, e.AtS})
	case exercises.Coached:
		c.Coached = append(c.Coached, e.AtS)
	case exercises.Seated:
		c.Seats = append(c.Seats, Step{exercises.Seat, f.Where, e.AtS})
	case exercises.Left:
		c.LeftAtS = append(c.LeftAtS, e.AtS-f.Seconds)
	case exercises.Called:
		c.Called = append(c.Called, Step{exercises.Call, f.Whom, e.AtS})
	default:
		c.takeLoad(b, e)
	}
}

// reported takes what a helper said at a second as the reading that it is about. Said again, it stands in the place of what was said before.
func (c *Course) reported(f exercises.HelperReported, at int) {
	switch f.Task {
	case exercises.HelperPulse:
		k := Count{FromS: f.FromS, ToS: f.ToS, KnownS: at, Seconds: f.Seconds, Beats: f.Beats, Helped: true, Again: f.Again}
		if f.Seconds > 0 {
			k.HR = unit.HR(60 * float64(f.Beats) / float64(f.Seconds))
		}
		k.Stage, k.Minute = c.State.PlaceOf(k.FromS, k.ToS)
		for i := range c.Counts {
			if c.Counts[i].FromS == f.FromS && c.Counts[i].Seconds == f.Seconds {
				c.Counts[i] = k
				return
			}
		}
		c.Counts = append(c.Counts, k)
	case exercises.HelperPressure:
		k := CuffTake{FromS: f.FromS, ToS: f.ToS, KnownS: at, Top: f.TopMmHg, Valve: helperValve, Systolic: unit.Pressure(f.Systolic),
			Diastolic: unit.Pressure(f.Diastolic), Sounded: f.Systolic > 0, Helped: true}
		if !k.Sounded {
			k.Heard = "t" // “sounds from the start, or none”: the graver of the two is gone by
		}
		k.Stage, k.Minute = c.State.PlaceOf(k.FromS, k.ToS)
		for i := range c.Cuffs {
			if c.Cuffs[i].FromS == f.FromS {
				c.Cuffs[i] = k
				return
			}
		}
		c.Cuffs = append(c.Cuffs, k)
	}
}

// helperValve is how fast a helper lets the needle fall, in mmHg/s. Source: [WSU].
const helperValve = 2.5

// asked notes a question once, though the person gives several answers to it in the same second.
func (c *Course) asked(what string, at int) {
	if n := len(c.Asked); n > 0 && c.Asked[n-1] == (Step{exercises.Ask, what, at}) {
		return
	}
	c.Asked = append(c.Asked, Step{exercises.Ask, what, at})
}

func (c *Course) takeLoad(b Rulebook, e exercises.Event) {
	n := len(c.Stages)
	switch f := e.Fact.(type) {
	case exercises.PedallingStarted:
		if c.PedalAtS < 0 {
			c.PedalAtS = e.AtS
		}
	case exercises.PedallingStopped:
		if c.StoppedAtS < 0 {
			c.StoppedAtS = e.AtS
		}
	case exercises.StageStarted:
		if n > 0 {
			c.Stages[n-1].ToS = e.AtS
		}
		r := unit.Resistance(f.ResistanceKp)
		c.Stages = append(c.Stages, StageRun{Number: f.Stage, FromS: e.AtS, ToS: -1, Resistance: r, WorkRate: r.WorkRate(b.Cadence)})
	case exercises.ResistanceSet:
		if n > 0 && c.EndedAtS < 0 {
			c.Stages[n-1].Changes = append(c.Stages[n-1].Changes, LoadChange{e.AtS, unit.Resistance(f.ResistanceKp)})
		}
	case exercises.Extended:
		if n > 0 {
			c.Stages[n-1].Extensions = append(c.Stages[n-1].Extensions, e.AtS)
		}
	case exercises.TestEnded:
		if n > 0 {
			c.Stages[n-1].ToS, c.Stages[n-1].Last = e.AtS, true
		}
		c.EndedAtS, c.EndedHow, c.EndedKp = e.AtS, f.How, unit.Resistance(f.ResistanceKp)
	case exercises.Released:
		c.ReleasedAtS = e.AtS
	case exercises.HandedIn:
		c.Closing = f
	}
}

// matchSheet puts what was written beside the reading it was written of: the reading of the same stage and minute that was taken last before.
func (c *Course) matchSheet() {
	for _, it := range c.State.Items {
		if it.Struck {
			continue
		}
		switch it.Key {
		case exercises.KeyBeats, exercises.KeyHR:
			k := c.countFor(it)
			x, err := strconv.ParseFloat(it.Text, 64)
			if k == nil || err != nil {
				continue
			}
			if it.Key == exercises.KeyHR {
				hr := unit.HR(x)
				k.WroteHR = &hr
			} else {
				beats := int(x)
				k.WroteBeats = &beats
			}
		case exercises.KeyBP:
			if k := c.cuffFor(it); k != nil {
				k.WroteSystolic, k.WroteDiastolic = pressures(it.Text)
			}
		}
	}
}

func (c *Course) countFor(it exercises.Item) *Count {
	for i := len(c.Counts) - 1; i >= 0; i-- {
		if k := &c.Counts[i]; k.Stage == it.Stage && (k.Minute == it.Minute || it.Minute == 0) && k.ToS <= it.AtS {
			return k
		}
	}
	return nil
}

// cuffFor falls back to the stage: a pressure is due once in it, so that the minute written beside it says nothing more.
func (c *Course) cuffFor(it exercises.Item) *CuffTake {
	var near *CuffTake
	for i := len(c.Cuffs) - 1; i >= 0; i-- {
		k := &c.Cuffs[i]
		if k.Stage != it.Stage || k.ToS > it.AtS {
			continue
		}
		if k.Minute == it.Minute || it.Minute == 0 {
			return k
		}
		if near == nil && k.read() {
			near = k
		}
	}
	return near
}

// pressures reads 148/72, or 178/70/0, where the second number is where the sounds were muffled; when they ran to nothing that one counts.
func pressures(text string) (systolic, diastolic *unit.Pressure) {
	var all []unit.Pressure
	for _, p := range strings.Split(text, "/") {
		x, err := strconv.ParseFloat(p, 64)
		if err != nil {
			return nil, nil
		}
		all = append(all, unit.Pressure(x))
	}
	if len(all) < 2 {
		return nil, nil
	}
	low := all[1]
	if len(all) == 3 && all[2] >= 40 {
		low = all[2] // Source: [K45].
	}
	return &all[0], &low
}

func (c *Course) matchTruth() {
	for i := range c.Counts {
		for _, t := range c.Closing.Counts {
			if t.FromS == c.Counts[i].FromS {
				c.Counts[i].True = unit.HR(t.HRbpm)
			}
		}
	}
	for i := range c.Cuffs {
		for _, t := range c.Closing.Cuffs {
			if t.FromS == c.Cuffs[i].FromS {
				c.Cuffs[i].TrueSystolic, c.Cuffs[i].TrueDiastolic = unit.Pressure(t.SBPmmHg), unit.Pressure(t.DBPmmHg)
			}
		}
	}
}
