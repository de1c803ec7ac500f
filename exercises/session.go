package exercises

import (
	"fmt"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A Session plays one attempt: commands in, lines out. The body behind it is not in its State.
type Session struct {
	state   *State
	subject scenarios.Scenario
	body    *body.Body
	truth   recorder
	voice   voicing

	brakeZero unit.Resistance // still wrong until the brake is checked
	kneeDeg   int
	equipment scenarios.Equipment // still wrong until it is checked
	cuffDownS int                 // when the last cuff was down; −1 when none was on yet
	loadedS   int                 // s of loaded work so far
	setS      int                 // s since the dial was last turned

	atNeck     bool // fingers lie on the neck
	away       bool // nobody is with the person
	errands    []*errand
	lastReport HelperReported // as it should have been said
	monitor    instrument.Monitor

	events []Event // of the command under way
	cut    bool    // something happened that nobody could fail to notice
}

// Begin returns a session at second 0: the person stands in the door.
func Begin(h Header, sc scenarios.Scenario) *Session {
	sc.Equipment.MonitorDrops = sc.Equipment.MonitorDrops && monitored(h)
	return &Session{
		state: newState(h), subject: sc, body: sc.Body(), brakeZero: sc.BrakeZero, kneeDeg: sc.KneeDeg, equipment: sc.Equipment,
		monitor: instrument.Monitor{Slips: sc.Equipment.MonitorDrops}, cuffDownS: -1,
		voice: voicing{said: map[body.Sign]heard{}, seen: map[body.Sign]heard{}, told: map[body.Sign]int{}, talked: map[string]int{}, gazed: map[string]int{},
			fuss: map[body.Channel]int{}, hiddenFromS: -1},
	}
}

// State returns the attempt as it stands.
func (s *Session) State() *State { return s.state }

// Subject returns who is being tested, as drawn. It holds the truth: only the core and a closed report may look.
func (s *Session) Subject() scenarios.Scenario { return s.subject }

// Do carries out one command and returns its line, already folded into the state; Prev is left to the log. A *Refused error means that
// nothing happened and no time passed.
func (s *Session) Do(c Command) (Line, error) {
	if r := s.state.legal(c); r != nil {
		return Line{}, r
	}
	s.events, s.cut = []Event{}, false
	s.carryOut(c)
	return Line{AtS: s.state.ClockS, Command: c, Events: s.events}, nil
}

// happened notes and folds an event at the present second.
func (s *Session) happened(f Fact) {
	e := Event{AtS: s.state.ClockS, Fact: f}
	s.events = append(s.events, e)
	s.state.apply(e)
}

// setting is what the room now imposes on the person.
func (s *Session) setting() body.Setting {
	set := body.Setting{Posture: body.Posture(s.state.Where), Pedalling: s.state.Pedalling, Metronome: unit.Cadence(s.state.MetronomeRPM)}
	if set.Metronome > 0 {
		set.Metronome += s.equipment.Metronome
	}
	if s.state.Pedalling {
		set.Resistance = max(0, unit.Resistance((s.state.ResistanceKp+float64(s.brakeZero))*s.equipment.Force(s.loadedS, s.setS)))
	}
	if s.atNeck {
		set.Neck = s.subject.Artery.Neck
	}
	return set
}

// pass lets seconds go by. each is offered the beats of every second and says when it has what it wants. facing says whether the proctor's
// eyes are on the person. It returns the seconds that went by; fewer than asked when s.cut.
func (s *Session) pass(seconds int, facing bool, each func([]instrument.Beat) (enough bool)) (gone int) {
	for gone < seconds && !s.cut {
		beats := s.body.Step(s.setting())
		s.state.ClockS++
		s.setS++
		if s.state.Pedalling && s.state.ResistanceKp > 0 {
			s.loadedS++
		}
		gone++
		now, symptoms := s.body.Now(), s.body.Symptoms()
		s.truth.second(s.state.ClockS, now, s.body.Level(), s.openly(symptoms))
		s.monitor.Second(beats, now.T)
		s.help(beats)
		if each != nil && each(beats) {
			s.listen(symptoms, facing)
			s.still(now)
			return gone
		}
		s.listen(symptoms, facing)
		s.still(now)
	}
	return gone
}

// still notices that the person has stopped pedalling of their own accord.
func (s *Session) still(now body.State) {
	if now.Stopped && s.state.Pedalling {
		s.happened(PedallingStopped{})
		s.cut = true
	}
}

// takes lets the act's own time go by, all of it: what is said or shown meanwhile is told, and nobody stands half-way between cycle and chair for it.
func (s *Session) takes(c Command, facing bool) {
	interrupted := s.cut
	for left := durations[c.Act][c.What]; left > 0; {
		s.cut = false
		left -= s.pass(left, facing, nil)
		interrupted = interrupted || s.cut
	}
	s.cut = interrupted
}

// carryOut does a legal command.
func (s *Session) carryOut(c Command) {
	switch c.Act {
	case Greet, Explain, Ask, Look, Coach, Wait, Rest:
		s.talk(c)
	case Check, Measure, Cuff, Saddle, Seat, Decide, Call, Steady, Tell:
		s.arrange(c)
	case Count, Time, Pressure:
		s.measure(c)
	case Helper:
		s.send(c)
	case Monitor:
		s.takes(c, false)
		s.happened(MonitorShown{HRbpm: s.monitor.Shown()})
	case Metronome, Pedal, Resistance, Stage, Extend, CoolDown, Stop, Leave, Release:
		s.run(c)
	case Write, Strike, HandIn:
		s.paper(c)
	default:
		panic(fmt.Sprintf("exercises: act %q was found legal but cannot be done", c.Act))
	}
}
