package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A Record is the test in numbers, as it ran, for whoever draws it. All times are seconds since the encounter began.
type Record struct {
	WindowLow  *float64    `json:"window_low_hr_bpm"` // heart rates that may enter the line; nil when the rules cannot give one
	WindowHigh *float64    `json:"window_high_hr_bpm"`
	PedalAtS   *int        `json:"pedal_at_s"` // nil when nobody ever pedalled
	EndedAtS   *int        `json:"ended_at_s"` // nil when the test was never ended
	LastAtS    int         `json:"last_at_s"`
	Loads      []Load      `json:"loads"`
	Pulses     []Pulse     `json:"pulses"`
	Monitor    []Display   `json:"monitor"`
	Pressures  []BloodRead `json:"pressures"`
	Exertions  []Rated     `json:"exertions"`
	Signs      []Presence  `json:"signs"` // what was so; nil until handed in
}

// A Load is the work from a second on. Stage is 0 in warm-up and recovery.
type Load struct {
	AtS        int     `json:"at_s"`
	Stage      int     `json:"stage"`
	Resistance float64 `json:"resistance_kp"`
	WorkRate   float64 `json:"work_rate_kgm_min"` // at the house's cadence; 0 while the pedals are still
	Pedalling  bool    `json:"pedalling"`
	NewStage   bool    `json:"new_stage"`
}

// A Pulse is one count. Stage 0 is rest, exercises.RecoveryStage after the end.
type Pulse struct {
	FromS    int      `json:"from_s"`
	ToS      int      `json:"to_s"`
	Stage    int      `json:"stage"`
	Minute   int      `json:"minute"`
	Felt     *float64 `json:"felt_hr_bpm"`  // what the beats felt give; nil when the count gave none
	Wrote    *float64 `json:"wrote_hr_bpm"` // nil when nothing was written of it
	CutShort bool     `json:"cut_short"`
}

// A Display is a number that the monitor showed.
type Display struct {
	AtS int     `json:"at_s"`
	HR  float64 `json:"hr_bpm"`
}

// A BloodRead is one pressure: what the sounds heard give, and what was written.
type BloodRead struct {
	FromS          int      `json:"from_s"`
	ToS            int      `json:"to_s"`
	Stage          int      `json:"stage"`
	Minute         int      `json:"minute"`
	Systolic       *float64 `json:"heard_systolic_mmhg"` // nil when it could not be read
	Diastolic      *float64 `json:"heard_diastolic_mmhg"`
	WroteSystolic  *float64 `json:"wrote_systolic_mmhg"`
	WroteDiastolic *float64 `json:"wrote_diastolic_mmhg"`
	CutShort       bool     `json:"cut_short"`
}

// A Rated is a rating of exertion.
type Rated struct {
	AtS   int `json:"at_s"`
	Stage int `json:"stage"`
	RPE   int `json:"rpe"`
}

// A Presence is a sign as it was, from FromS to before ToS; of several grades the highest.
type Presence struct {
	Sign  string `json:"sign"`
	Grade int    `json:"grade"`
	FromS int    `json:"from_s"`
	ToS   int    `json:"to_s"`
}

// record collects the course in numbers.
func record(b Rulebook, c *Course, worked protocol.Answer) Record {
	r := Record{LastAtS: lastSecond(c), Loads: loads(b, c), Pulses: []Pulse{}, Monitor: []Display{}, Pressures: []BloodRead{}, Exertions: []Rated{}}
	if worked.Ceiling > 0 {
		low, high := float64(b.WindowLow), unit.Round(float64(protocol.WindowHigh(b.Rules, worked.Ceiling)), 2)
		r.WindowLow, r.WindowHigh = &low, &high
	}
	if begun(c) {
		at := c.PedalAtS
		r.PedalAtS = &at
	}
	if c.EndedAtS >= 0 {
		at := c.EndedAtS
		r.EndedAtS = &at
	}
	for _, k := range c.Counts {
		p := Pulse{FromS: k.FromS, ToS: k.ToS, Stage: k.Stage, Minute: k.Minute, CutShort: k.CutShort}
		if k.HR > 0 {
			p.Felt = rounded(float64(k.HR), 1)
		}
		if k.WroteHR != nil {
			p.Wrote = rounded(float64(*k.WroteHR), 1)
		}
		r.Pulses = append(r.Pulses, p)
	}
	for _, k := range c.Cuffs {
		p := BloodRead{FromS: k.FromS, ToS: k.ToS, Stage: k.Stage, Minute: k.Minute, CutShort: k.CutShort}
		if k.Sounded && !k.CutShort {
			p.Systolic, p.Diastolic = rounded(float64(k.Systolic), 0), rounded(float64(k.Diastolic), 0)
		}
		if k.WroteSystolic != nil && k.WroteDiastolic != nil {
			p.WroteSystolic, p.WroteDiastolic = rounded(float64(*k.WroteSystolic), 0), rounded(float64(*k.WroteDiastolic), 0)
		}
		r.Pressures = append(r.Pressures, p)
	}
	for _, e := range c.Exertions {
		r.Exertions = append(r.Exertions, Rated{e.AtS, e.Stage, int(e.RPE)})
	}
	for _, e := range c.State.Events {
		if m, ok := e.Fact.(exercises.MonitorShown); ok && m.HRbpm > 0 {
			r.Monitor = append(r.Monitor, Display{e.AtS, float64(m.HRbpm)})
		}
	}
	if c.State.Closed {
		r.Signs = presences(c.Closing.Signs)
	}
	return r
}

func rounded(x float64, decimals int) *float64 {
	v := unit.Round(x, decimals)
	return &v
}

// loads follows the dial and the pedals.
func loads(b Rulebook, c *Course) []Load {
	list := []Load{}
	kp, stage, moving := 0.0, 0, false
	note := func(at int, fresh bool) {
		l := Load{AtS: at, Stage: stage, Resistance: kp, Pedalling: moving, NewStage: fresh}
		if moving {
			l.WorkRate = unit.Round(float64(unit.Resistance(kp).WorkRate(b.Cadence)), 1)
		}
		if n := len(list); n > 0 && list[n-1].AtS == at && !list[n-1].NewStage {
			list = list[:n-1]
		}
		list = append(list, l)
	}
	for _, e := range c.State.Events {
		switch f := e.Fact.(type) {
		case exercises.PedallingStarted:
			moving = true
			note(e.AtS, false)
		case exercises.PedallingStopped:
			moving = false
			note(e.AtS, false)
		case exercises.StageStarted:
			stage, kp = f.Stage, f.ResistanceKp
			note(e.AtS, true)
		case exercises.ResistanceSet:
			kp = f.ResistanceKp
			if moving {
				note(e.AtS, false)
			}
		case exercises.TestEnded:
			stage, kp = 0, f.ResistanceKp
			if moving {
				note(e.AtS, false)
			}
		}
	}
	return list
}

// presences are the signs that were there, each once over a time without a gap, with the highest grade of that time.
func presences(spans []exercises.SignSpan) []Presence {
	list := []Presence{}
	for _, s := range spans {
		joined := false
		for i := range list {
			if p := &list[i]; p.Sign == s.Sign && s.FromS <= p.ToS && s.ToS >= p.FromS {
				p.FromS, p.ToS, p.Grade = min(p.FromS, s.FromS), max(p.ToS, s.ToS), max(p.Grade, s.Grade)
				joined = true
				break
			}
		}
		if !joined {
			list = append(list, Presence{Sign: s.Sign, Grade: s.Grade, FromS: s.FromS, ToS: s.ToS})
		}
	}
	return list
}

// A SheetEntry is one line of the data sheet as the student wrote it; what is struck out stays.
type SheetEntry struct {
	Number int           `json:"number"`
	AtS    int           `json:"at_s"`
	Key    exercises.Key `json:"key"`
	Text   string        `json:"text"`
	Stage  int           `json:"stage"`
	Minute int           `json:"minute"`
	Struck bool          `json:"struck"`
}

func sheetOf(c *Course) []SheetEntry {
	list := make([]SheetEntry, 0, len(c.State.Items))
	for _, it := range c.State.Items {
		list = append(list, SheetEntry{it.Number, it.AtS, it.Key, it.Text, it.Stage, it.Minute, it.Struck})
	}
	return list
}
