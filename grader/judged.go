package grader

import (
	"math"
	"slices"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// What the short skills ask of the same functions as the grading.

// OneMoreMinute says whether a stage must be extended: its last two minutes do not agree, and the house allows another.
func OneMoreMinute(b Rulebook, minutes []unit.HR, extensions int) bool {
	return oneMoreMinute(b, minutes, extensions)
}

// SteadyWords says the steady rule in one sentence.
func SteadyWords(r protocol.SteadyRule) string { return steadyWords(r) }

// RestLimits says the resting limits in one sentence.
func RestLimits(b Rulebook) string { return restLimits(b) }

// HeardPressure is what a careful listener reads of a deflation; ok is false when it cannot be used.
func HeardPressure(f exercises.CuffFell) (s instrument.Sounds, ok bool) {
	s = instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
	k := CuffTake{Top: f.TopMmHg, CutShort: f.CutShort, Systolic: s.Systolic, Diastolic: s.Diastolic, Sounded: s.Any && !s.HeardAtOnce}
	return s, k.read()
}

// A Call is what a moment of a running test asks for.
type Call string

const (
	GoOn      Call = "go"        // as planned
	Recheck   Call = "recheck"   // measure, ask or set right once more, at the same load
	End       Call = "end"       // in good order
	Emergency Call = "emergency" // load off at once
)

// A Need is what a running test asks for as it stands.
type Need struct {
	Accept  []Call // what is acceptable; the first is what the reference proctor does
	Why     string // of that
	Rule    string // the rule that speaks of it, as in Rules
	Planned bool   // an end because the readings are enough, or because the brake goes no further
	Ceiling bool   // an end by the ceiling alone: a number, where a sign must be recognised
	Odd     bool   // something told or felt in the last minute is not of every test, whether it means something or not
}

// Accepts says whether a call is acceptable.
func (m Need) Accepts(c Call) bool { return slices.Contains(m.Accept, c) }

// Need says what a test that is running asks for; ok is false outside a stage.
func (p *Proctor) Need(s *exercises.State) (m Need, ok bool) {
	list := p.Acceptable(s)
	v := p.see(s)
	if _, working := v.stage(); !working || len(list) == 0 {
		return Need{}, false
	}
	first := list[0]
	m.Why, m.Odd, m.Rule = first.Why, v.signSince(v.now-60), v.speaks()
	_, asked := v.signOf(asksToStop, v.pedalAt)
	_, bad := v.signOf(isEmergency, v.pedalAt)
	_, pressing := v.urgent()
	if pressing && first.Act == exercises.Write {
		return Need{}, false // what was just measured is written first; what it asks for comes then
	}
	switch {
	case first.Act == exercises.Stop && bad:
		m.Accept = []Call{Emergency}
	case first.Act == exercises.Stop: // the legs have stopped, so that nobody can pedal lightly
		m.Accept = []Call{Emergency, End}
	case first.Act == exercises.CoolDown:
		m.Accept = []Call{End}
		if asked {
			m.Accept = append(m.Accept, Emergency)
		}
		m.Planned, m.Ceiling = !pressing, pressing && v.onlyByCeiling()
	case pressing, v.asksFirst():
		m.Accept, m.Odd = []Call{Recheck}, true
	default:
		m.Accept = []Call{GoOn}
		if m.Odd { // a question more about what is only just there is never wrong
			m.Accept = append(m.Accept, Recheck)
		}
		for _, a := range list {
			if a.Act == exercises.CoolDown {
				m.Accept = append(m.Accept, End)
			}
		}
	}
	return m, true
}

// speaks is the rule that speaks of the most urgent duty, in the order of urgent; that against needless stops when nothing presses.
func (v *sight) speaks() string {
	is := func(kind func(body.Sign, int) bool) bool { _, ok := v.signOf(kind, v.pedalAt); return ok }
	pressure, falling := v.pressureDuty()
	_, braking := v.brakeDuty()
	_, feeling := v.pulseDuty()
	_, over := v.overCeiling()
	_, pressing := v.urgent()
	switch {
	case is(isEmergency):
		return "stop-emergency"
	case is(asksToStop):
		return "asked-to-stop"
	case !v.state.Pedalling || is(isEnd):
		return "end-sign"
	case falling && pressure.command.Act == exercises.CoolDown && v.tooHigh():
		return "pressure-limit"
	case falling:
		return "verify-pressure"
	case braking:
		return "load-held"
	case feeling && v.doubts(unevenPulse):
		return "verify-rhythm"
	case feeling:
		return "verify-rate"
	case over:
		return "ceiling"
	case pressing, v.asksFirst():
		return "end-sign"
	}
	return "false-stop"
}

// doubts says whether a count of the running stage is doubtful, and not settled as harmless.
func (v *sight) doubts(cause string) bool {
	now, _ := v.stage()
	doubt, settled, confirmed := v.doubtIn(now.number, cause)
	return doubt != nil && (settled == nil || confirmed)
}

// tooHigh says whether a pressure of the running stage is above the limit.
func (v *sight) tooHigh() bool {
	now, _ := v.stage()
	for _, k := range v.cuffs {
		if k.stage == now.number && k.readable && pressureTooHigh(v.book, k.sounds.Systolic, k.sounds.Diastolic) {
			return true
		}
	}
	return false
}

// signSince says whether words or looks since a second carried a sign.
func (v *sight) signSince(at int) bool {
	_, ok := v.signOf(func(body.Sign, int) bool { return true }, at)
	return ok
}

// asksFirst says whether a high rating of exertion asks for a question before anything else.
func (v *sight) asksFirst() bool {
	now, _ := v.stage()
	for _, e := range v.exertions {
		if e.stage == now.number && e.rpe >= v.book.Stop.AskRPE && !v.asked(e.at) {
			return true
		}
	}
	return false
}

// onlyByCeiling says whether nothing but the ceiling ends the test.
func (v *sight) onlyByCeiling() bool {
	w := *v
	w.book.Ceiling = protocol.CeilingRule{Of: "fixed", Fixed: unit.HR(math.Inf(1))}
	_, still := w.urgent()
	return !still
}
