package exercises

import (
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// repeatS is how long a person bears an unanswered trouble before saying it again, in s, while the work lasts and after it. Source: [CHOICE-VOICE].
const repeatS, repeatAfterS = 30, 60

// heard is what was last said or seen of a sign.
type heard struct {
	grade, atS, times int
}

// A voicing remembers what the person has said and shown, so that lines do not repeat and only what is new interrupts.
type voicing struct {
	said, seen    map[body.Sign]heard
	rated         int
	told          map[body.Sign]int // how often it was told when asked
	talked, gazed map[string]int    // how often nothing but the effort was told, and seen, by effort
	fuss          map[body.Channel]int
	open          []body.Symptom // what asking would bring to light
	admitted      bool           // a minimiser was asked once already
	hiddenFromS   int            // since when there is something that a question was not answered with; −1 when there is nothing
}

// listen lets the person speak unasked, and the proctor see what is new while facing the person.
func (s *Session) listen(symptoms []body.Symptom, facing bool) {
	if s.away {
		return
	}
	for _, y := range symptoms {
		switch {
		case y.Channel == body.Unasked:
			s.speak(y)
		case y.Channel == body.Seen && facing:
			s.see(y)
		}
	}
}

// speak says a sign that nobody could fail to notice, when it is new, worse, or has gone unanswered. What is known and lasts after the work interrupts
// nothing.
func (s *Session) speak(y body.Symptom) {
	last := s.voice.said[y.Sign]
	known := y.Grade <= last.grade
	if known && s.state.ClockS-last.atS < s.repeats() {
		return
	}
	if y.Grade < last.grade && s.state.EndedAtS >= 0 {
		return // whoever gets better after the work calls out no more, and tells when asked
	}
	words := s.subject.Line(y.Sign, body.Unasked, y.Grade, last.times, s.moment())
	s.voice.said[y.Sign] = heard{y.Grade, s.state.ClockS, last.times + 1}
	if words == "" {
		return
	}
	s.happened(Said{Words: words, Unasked: true})
	s.cut = s.cut || !known || s.state.EndedAtS < 0
}

// repeats is how long what is known stays untold, in s.
func (s *Session) repeats() int {
	if s.state.EndedAtS < 0 {
		return repeatS
	}
	return repeatAfterS
}

// see shows a sign that is new or worse to a proctor who faces the person; what means nothing draws the eye once.
func (s *Session) see(y body.Symptom) {
	last := s.voice.seen[y.Sign]
	known := y.Grade <= last.grade
	if known && (y.Sign == body.Harmless || s.state.ClockS-last.atS < s.repeats()) {
		return
	}
	if words := s.subject.Line(y.Sign, body.Seen, y.Grade, last.times, s.moment()); words != "" {
		s.voice.seen[y.Sign] = heard{y.Grade, s.state.ClockS, last.times + 1}
		s.happened(Noticed{Words: words})
		s.cut = s.cut || !known || s.state.EndedAtS < 0 // whoever stands and watches can act in the same second
	}
}

// moment is what the person is doing.
func (s *Session) moment() scenarios.Moment {
	return scenarios.Moment{
		RPE: s.body.Now().Exertion, Posture: body.Posture(s.state.Where), Pedalling: s.state.Pedalling,
		Begun: s.state.PedalFromS >= 0, Ended: s.state.EndedAtS >= 0,
	}
}

// worst is the highest grade of what can be found or seen that has words, told for the nth time of its sign; ok is false when there is nothing.
// What means nothing is told every other time: nobody speaks of a stitch each minute.
func (s *Session) worst(ch body.Channel, nth func(body.Sign) int) (words string, y body.Symptom, ok bool) {
	for _, x := range s.body.Symptoms() {
		if x.Channel != ch || ok && x.Grade <= y.Grade {
			continue
		}
		if w := s.subject.Line(x.Sign, ch, x.Grade, nth(x.Sign), s.moment()); w != "" {
			words, y, ok = w, x, true
		}
	}
	if ok && y.Sign == body.Harmless {
		s.voice.fuss[ch]++
		ok = s.voice.fuss[ch]%2 == 1
	}
	return words, y, ok
}

// openly leaves out of the symptoms what asking would not bring to light in this second: what is denied, and what a minimiser has not yet
// been asked about. A question is due each minute, so that to a minimiser never asked it counts as asked for after that.
func (s *Session) openly(symptoms []body.Symptom) []body.Symptom {
	how := s.subject.Reticence()
	if how == scenarios.Open || how == scenarios.Minimises && s.voice.admitted {
		return symptoms
	}
	s.voice.open = s.voice.open[:0]
	hidden := false
	for _, y := range symptoms {
		if !s.subject.HeldBack(y) {
			s.voice.open = append(s.voice.open, y)
			continue
		}
		if hidden = true; s.voice.hiddenFromS < 0 {
			s.voice.hiddenFromS = s.state.ClockS
		}
		if how == scenarios.Minimises && s.state.ClockS-s.voice.hiddenFromS >= dueS {
			s.voice.open = append(s.voice.open, y)
		}
	}
	if !hidden {
		s.voice.hiddenFromS = -1
	}
	return s.voice.open
}

// dueS is how long a trouble can be there before a question about it is due, in s. Source: [CHOICE-LATENCY].
const dueS = 60

// wavesAway answers a question without what it should bring to light, and reports whether the person does so.
func (s *Session) wavesAway(y body.Symptom) bool {
	if !s.subject.HeldBack(y) || s.voice.admitted {
		return false
	}
	if s.subject.Reticence() == scenarios.Minimises {
		s.voice.admitted = true
		for _, other := range s.body.Symptoms() {
			if s.subject.HeldBack(other) {
				s.truth.withheld(s.state.ClockS, other.Sign)
			}
		}
	}
	return true
}

// talk does what is done facing the person.
func (s *Session) talk(c Command) {
	switch c.Act {
	case Greet:
		s.takes(c, true)
		s.happened(Prepared{Act: Greet})
		s.happened(Noticed{Words: s.subject.Arriving})
		s.happened(Said{Words: s.subject.Greeting, To: "greeting"})
	case Explain:
		s.takes(c, true)
		s.happened(Prepared{Act: Explain, What: c.What})
	case Wait, Rest:
		s.pass(c.Seconds, true, nil)
		if c.Act == Rest {
			s.happened(Prepared{Act: Rest})
		}
	case Coach:
		s.takes(c, true)
		s.happened(Coached{})
	case Look:
		s.takes(c, false)
		s.look()
	case Ask:
		s.takes(c, true)
		s.answer(c.What)
	}
}

func (s *Session) look() {
	words, y, ok := s.worst(body.Seen, func(sign body.Sign) int { return s.voice.seen[sign].times })
	if ok {
		s.voice.seen[y.Sign] = heard{y.Grade, s.state.ClockS, s.voice.seen[y.Sign].times + 1}
	} else {
		effort := s.moment().Effort()
		words = s.subject.Look(effort, s.voice.gazed[effort])
		s.voice.gazed[effort]++
	}
	s.happened(Noticed{Words: words})
}

func (s *Session) answer(what string) {
	switch what {
	case "health":
		for _, h := range s.subject.Health {
			s.happened(Said{Words: h.Says, To: "health", About: h.Key})
		}
	case "consent":
		s.happened(Said{Words: s.subject.Consent, To: "consent"})
	case "exertion":
		s.voice.rated++
		s.happened(ExertionGiven{RPE: int(s.body.Exertion()), Words: s.subject.Rating(s.body.Now().Exertion, s.voice.rated)})
	case "symptoms":
		words, y, ok := s.worst(body.Found, func(sign body.Sign) int { return s.voice.told[sign] })
		if ok && !s.wavesAway(y) {
			s.voice.told[y.Sign]++
		} else {
			effort := s.moment().Effort()
			words = s.subject.Talk(effort, s.voice.talked[effort])
			s.voice.talked[effort]++
		}
		s.happened(Said{Words: words, To: "symptoms"})
	}
}
