package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A sight is what a proctor has before them: the events so far, sorted by what they were about. It never holds truth.
type sight struct {
	book  Rulebook
	state *exercises.State
	now   int

	done      map[stepDone]int // how often
	lastAt    map[stepDone]int
	flagged   string // a health answer that is not passed over
	values    map[string]float64
	where     string
	decided   string
	metronome float64
	dial      float64
	dialAt    int // s, when it was last turned

	counts    []sightCount
	cuffs     []sightCuff
	exertions []sightExertion
	stages    []sightStage
	signs     []sightSign
	looks     []int
	questions []int // seconds of questions about symptoms
	coached   []int

	pedalAt, endedAt, stoppedAt, releasedAt int
	endedHow                                exercises.Act
}

type stepDone struct {
	act  exercises.Act
	what string
}

type sightCount struct {
	from, to int
	seconds  int
	beats    int
	odd      int // gaps that did not fit
	hr       unit.HR
	stage    int // 0 before the test, RecoveryStage after it
	minute   int
	cut      bool
}

func (k sightCount) felt() feltPulse { return feltPulse{k.minute, k.seconds, k.odd, k.hr} }

type sightCuff struct {
	from, to int
	top      int
	low      int // mark down to which was listened
	sounds   instrument.Sounds
	readable bool
	stage    int
	minute   int
	cut      bool
}

type sightExertion struct {
	at     int
	rpe    unit.RPE
	stage  int
	minute int
}

type sightStage struct {
	number     int
	from, to   int // to is −1 while it runs
	resistance unit.Resistance
	extensions int
	changed    bool // the dial was turned within it
}

// A sightSign is a sign as the proctor took it from words or looks.
type sightSign struct {
	at    int
	sign  body.Sign
	grade int
	words string
}

// newSight is what is before a proctor who has just come in.
func newSight(b Rulebook, s *exercises.State) *sight {
	return &sight{book: b, state: s, done: map[stepDone]int{}, lastAt: map[stepDone]int{}, values: map[string]float64{},
		pedalAt: -1, endedAt: -1, stoppedAt: -1, releasedAt: -1}
}

// take sorts one event. words tells what the person's words and looks mean.
func (v *sight) take(e exercises.Event, words *lexicon) {
	switch f := e.Fact.(type) {
	case exercises.Prepared:
		v.note(f.Act, f.What, e.AtS)
	case exercises.Said:
		if f.To != "" {
			v.note(exercises.Ask, f.To, e.AtS)
		}
		if f.To == "symptoms" {
			v.questions = append(v.questions, e.AtS)
		}
		if flag := words.understand(f.Words).flag; v.flagged == "" {
			v.flagged = flag
		}
		v.understand(f.Words, e.AtS, words)
	case exercises.Noticed:
		if !f.Unasked {
			v.looks = append(v.looks, e.AtS)
		}
		v.understand(f.Words, e.AtS, words)
	case exercises.Measured:
		v.values[f.What] = f.Value
		v.note(exercises.Measure, f.What, e.AtS)
	case exercises.PulseFelt:
		k := sightCount{from: f.FromS, to: f.FromS + f.Seconds, seconds: f.Seconds, beats: len(f.Tenths), odd: instrument.OddGaps(f.Tenths), cut: f.CutShort}
		if k.seconds > 0 {
			k.hr = unit.HR(k.beats) * 60 / unit.HR(k.seconds)
		}
		k.stage, k.minute = v.place(k.from, k.to)
		v.counts = append(v.counts, k)
	case exercises.CuffFell:
		k := sightCuff{from: f.FromS, to: e.AtS, top: f.TopMmHg, low: f.TopMmHg - instrument.GaugeStep*len(f.Heard), sounds: instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard), cut: f.CutShort}
		k.readable = k.sounds.Any && !k.sounds.HeardAtOnce && !k.cut && k.sounds.Systolic-k.sounds.Diastolic >= leastPulse &&
			k.sounds.Systolic <= unit.Pressure(k.top)-leastAbove
		k.stage, k.minute = v.place(k.from, k.to)
		v.cuffs = append(v.cuffs, k)
	case exercises.ExertionGiven:
		stage, minute := v.place(e.AtS, e.AtS)
		v.exertions = append(v.exertions, sightExertion{e.AtS, unit.RPE(f.RPE), stage, minute})
		v.understand(f.Words, e.AtS, words)
	case exercises.Seated:
		v.where = f.Where
		v.note(exercises.Seat, f.Where, e.AtS)
	case exercises.Decided:
		v.decided = f.What
	case exercises.MetronomeSet:
		v.metronome = f.CadenceRPM
	case exercises.ResistanceSet:
		v.dial = f.ResistanceKp
		if v.endedAt < 0 { // what is turned back afterwards says nothing of the loads before
			v.dialAt = e.AtS
		}
		if n := len(v.stages); n > 0 && v.stages[n-1].to < 0 {
			v.stages[n-1].changed = true
		}
	case exercises.PedallingStarted:
		if v.pedalAt < 0 {
			v.pedalAt = e.AtS
		}
	case exercises.PedallingStopped:
		v.stoppedAt = e.AtS
	case exercises.StageStarted:
		v.closeStage(e.AtS)
		v.dial, v.dialAt = f.ResistanceKp, e.AtS
		v.stages = append(v.stages, sightStage{number: f.Stage, from: e.AtS, to: -1, resistance: unit.Resistance(f.ResistanceKp)})
	case exercises.Extended:
		if n := len(v.stages); n > 0 {
			v.stages[n-1].extensions++
		}
	case exercises.Coached:
		v.coached = append(v.coached, e.AtS)
	case exercises.TestEnded:
		v.closeStage(e.AtS)
		v.endedAt, v.endedHow, v.dial = e.AtS, f.How, f.ResistanceKp
	case exercises.Called:
		v.note(exercises.Call, f.Whom, e.AtS)
	case exercises.Released:
		v.releasedAt = e.AtS
	}
}

func (v *sight) note(act exercises.Act, what string, at int) {
	v.done[stepDone{act, what}]++
	v.lastAt[stepDone{act, what}] = at
}

func (v *sight) did(act exercises.Act, what string) bool { return v.done[stepDone{act, what}] > 0 }

func (v *sight) closeStage(at int) {
	if n := len(v.stages); n > 0 && v.stages[n-1].to < 0 {
		v.stages[n-1].to = at
	}
}

// place is the stage and minute that a reading belongs to.
func (v *sight) place(from, to int) (stage, minute int) {
	switch n := len(v.stages); {
	case v.endedAt >= 0 && from >= v.endedAt:
		return exercises.RecoveryStage, minuteOf(v.endedAt, from, to)
	case n > 0:
		return v.stages[n-1].number, minuteOf(v.stages[n-1].from, from, to)
	}
	return 0, 0
}

// understand adds the signs that words or looks carry.
func (v *sight) understand(said string, at int, words *lexicon) {
	for _, m := range words.understand(said).signs {
		v.signs = append(v.signs, sightSign{at: at, sign: m.sign, grade: m.grade, words: said})
	}
}

// stage is the running stage; ok is false outside a stage.
func (v *sight) stage() (sightStage, bool) {
	if n := len(v.stages); n > 0 && v.stages[n-1].to < 0 {
		return v.stages[n-1], true
	}
	return sightStage{}, false
}

// minutesOf are the readings of one stage by minute, in order, the last of each.
func (v *sight) minutesOf(stage int) (list []sightCount) {
	for _, k := range v.counts {
		if k.stage != stage || k.cut || k.beats == 0 {
			continue
		}
		if n := len(list); n > 0 && list[n-1].minute == k.minute {
			list[n-1] = k
			continue
		}
		list = append(list, k)
	}
	return list
}

// cuffOf is the last readable pressure of a stage.
func (v *sight) cuffOf(stage int) (last sightCuff, ok bool) {
	for _, k := range v.cuffs {
		if k.stage == stage && k.readable {
			last, ok = k, true
		}
	}
	return last, ok
}

// signOf is the first sign of a kind since a second.
func (v *sight) signOf(kind func(body.Sign, int) bool, since int) (sightSign, bool) {
	for _, s := range v.signs {
		if s.at >= since && kind(s.sign, s.grade) {
			return s, true
		}
	}
	return sightSign{}, false
}

// ceiling is the house's ceiling for the person; 0 when it cannot be known yet.
func (v *sight) ceiling() unit.HR {
	most, err := protocol.PredictedMaxHR(v.book.MaxHR, v.person().Sex, v.person().Age)
	if err != nil {
		return 0
	}
	return protocol.Ceiling(v.book.Rules, most, v.person().RestHR)
}

// answer works the calculation on the proctor's own readings.
func (v *sight) answer() protocol.Answer {
	var points []protocol.StagePoint
	for _, s := range v.stages {
		p := protocol.StagePoint{Stage: s.number, WorkRate: s.resistance.WorkRate(v.book.Cadence)}
		list := v.minutesOf(s.number)
		for _, m := range list {
			p.Minutes = append(p.Minutes, unit.HR(unit.Round(float64(m.hr), 0)))
		}
		until := s.to
		if until < 0 {
			until = v.now
		}
		n := len(list)
		switch {
		case s.changed:
			p.Void = "the load was changed within the stage"
		case until-s.from < v.book.StageS-v.book.Count.Seconds:
			p.Void = "the stage was not finished"
		case n >= 2 && list[n-1].minute != list[n-2].minute+1:
			p.Void = "the last two readings are not of two minutes in a row"
		}
		points = append(points, p)
	}
	return protocol.Estimate(v.book.Rules, v.person(), points)
}

// person is what the calculation needs of the person, as the appointment list and the scale say.
func (v *sight) person() protocol.Person {
	rest := unit.HR(0)
	for _, k := range v.counts {
		if k.stage == 0 && !k.cut && (v.pedalAt < 0 || k.to <= v.pedalAt) {
			rest = k.hr
		}
	}
	return protocol.Person{Sex: unit.Sex(v.state.Header.Subject.Sex), Age: unit.Age(v.state.Header.Subject.AgeY),
		Mass: unit.Mass(v.values["mass_kg"]), RestHR: rest}
}
