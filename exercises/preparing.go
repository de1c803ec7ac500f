package exercises

// arrange does what is set up or measured apart from pulse and pressure.
func (s *Session) arrange(c Command) {
	s.takes(c, c.Act == Measure || c.Act == Seat || c.Act == Decide)
	t := s.subject.Traits
	switch c.Act {
	case Check:
		s.check(c.What)
	case Measure:
		switch c.What {
		case "mass":
			s.happened(Measured{"mass_kg", tenth(float64(t.Mass))})
		case "height":
			s.happened(Measured{"height_cm", tenth(float64(t.Height))})
		case "arm":
			s.happened(Measured{"arm_cm", tenth(float64(t.Arm))})
		}
	case Cuff:
		s.happened(Prepared{Act: Cuff, What: c.What})
	case Saddle:
		switch c.What {
		case "up":
			s.kneeDeg -= s.subject.LegReach
		case "down":
			s.kneeDeg += s.subject.LegReach
		}
		s.kneeDeg = min(max(s.kneeDeg, 0), 90)
		s.happened(Measured{"knee_deg", float64(s.kneeDeg)})
	case Seat:
		s.happened(Seated{Where: c.What})
	case Decide:
		s.happened(Decided{What: c.What})
	case Call:
		s.happened(Called{Whom: c.What})
	case Steady, Tell:
		s.happened(Prepared{Act: c.Act, What: c.What})
	}
}

func (s *Session) check(what string) {
	switch what {
	case "brake":
		s.happened(Measured{"brake_zero_kp", tenth(float64(s.brakeZero))})
		s.brakeZero = 0
		s.happened(Prepared{Act: Check, What: what})
	case "metronome":
		s.happened(Measured{"metronome_rpm", whole(float64(50 + s.equipment.Metronome))})
		s.equipment.Metronome = 0 // set right by the watch
		s.happened(Prepared{Act: Check, What: what})
	case "weight":
		s.happened(Measured{"weight_kp", tenth(2 / (1 - s.equipment.BrakeLow))})
		s.equipment.BrakeLow = 0 // the scale is moved until it shows the weight
		s.happened(Prepared{Act: Check, What: what})
	case "cuff":
		s.happened(Measured{"cuff_leak_mmhg_s", tenth(s.equipment.CuffLeak)})
		s.equipment.CuffLeak = 0 // the spare one is taken
		s.happened(Prepared{Act: Check, What: what})
	case "gauge":
		s.happened(Measured{"gauge_zero_mmhg", whole(float64(s.equipment.GaugeZero))})
		s.equipment.GaugeZero = 0
		s.happened(Prepared{Act: Check, What: what})
	case "arm":
		s.happened(Measured{"arm_below_cm", whole(s.equipment.ArmBelowCM)})
		s.equipment.ArmBelowCM = 0 // a cushion under it
		s.happened(Prepared{Act: Check, What: what})
	case "plan":
		s.happened(Prepared{Act: Check, What: what})
	case "cadence":
		s.happened(Measured{"cadence_rpm", whole(float64(s.body.Now().Cadence))})
		s.happened(Prepared{Act: Check, What: what})
	case "dial":
		s.happened(Measured{"dial_kp", tenth(s.state.ResistanceKp * s.equipment.Pendulum(s.loadedS, s.setS))})
		s.happened(Prepared{Act: Check, What: what})
	}
}
