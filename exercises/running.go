package exercises

// run does what starts, changes and ends the test.
func (s *Session) run(c Command) {
	switch c.Act {
	case Metronome:
		s.takes(c, false)
		s.happened(MetronomeSet{c.CadenceRPM})
	case Pedal:
		s.takes(c, true)
		s.happened(PedallingStarted{})
	case Resistance:
		s.takes(c, false)
		s.happened(ResistanceSet{c.ResistanceKp})
		s.setS = 0
	case Stage:
		s.takes(c, false)
		s.happened(StageStarted{Stage: s.state.Stage + 1, ResistanceKp: c.ResistanceKp})
		s.setS = 0
	case Extend:
		s.happened(Extended{Stage: s.state.Stage})
	case CoolDown:
		s.takes(c, false)
		s.happened(TestEnded{How: CoolDown, ResistanceKp: c.ResistanceKp})
	case Stop:
		s.stop(c)
	case Leave:
		s.away = true
		gone := s.pass(durations[Leave][""], false, nil)
		s.away = false
		s.happened(Left{Seconds: gone})
	case Release:
		s.takes(c, true)
		s.happened(Released{})
	}
}

// stop takes the load off at once; the pedals come to rest within its time. After a planned end it only stops the pedals.
func (s *Session) stop(c Command) {
	if s.state.EndedAtS < 0 {
		s.happened(TestEnded{How: Stop})
	} else {
		s.happened(ResistanceSet{})
	}
	s.takes(c, true)
	if s.state.Pedalling {
		s.happened(PedallingStopped{})
	}
}
