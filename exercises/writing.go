package exercises

import "strings"

// paper does what is done on the sheet; the eyes are on it.
func (s *Session) paper(c Command) {
	switch c.Act {
	case Write:
		if s.state.ReleasedAtS < 0 {
			s.takes(c, false)
		}
		for _, e := range c.Entries {
			stage, minute := s.state.placeOfEntry(e)
			s.happened(Written{Item: len(s.state.Items) + 1, Key: e.Key, Text: strings.TrimSpace(e.Text), Stage: stage, Minute: minute})
		}
	case Strike:
		if s.state.ReleasedAtS < 0 {
			s.takes(c, false)
		}
		s.happened(Struck{Item: c.Entry})
	case HandIn:
		s.happened(s.truth.close(s))
	}
}

// placeOfEntry is the stage and minute that an entry is about: as said, else that of the latest reading of its kind.
func (s *State) placeOfEntry(e Entry) (stage, minute int) {
	switch e.Key {
	case KeyBeats, KeyHR, KeyBP, KeyRPE, KeySymptoms, KeyCadence, KeyResistance:
	default:
		return e.Stage, e.Minute
	}
	if e.Stage != 0 || e.Minute != 0 {
		return e.Stage, e.Minute
	}
	from, to := s.ClockS, s.ClockS
	for _, x := range s.Events {
		switch f := x.Fact.(type) {
		case PulseFelt:
			if e.Key == KeyBeats || e.Key == KeyHR {
				from, to = f.FromS, f.FromS+f.Seconds
			}
		case HelperReported:
			if f.Task == HelperPulse && (e.Key == KeyBeats || e.Key == KeyHR) || f.Task == HelperPressure && e.Key == KeyBP {
				from, to = f.FromS, f.ToS
			}
		case BeatsTimed:
			if e.Key == KeyBeats || e.Key == KeyHR {
				from, to = f.FromS, x.AtS
			}
		case CuffFell:
			if e.Key == KeyBP {
				from, to = f.FromS, x.AtS
			}
		case ExertionGiven:
			if e.Key == KeyRPE {
				from, to = x.AtS, x.AtS
			}
		}
	}
	return s.PlaceOf(from, to)
}
