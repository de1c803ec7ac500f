package scenarios

import (
	"fmt"
	"math"
	"math/rand/v2"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// whoStream is the generator for what the person is, as opposed to what the case makes of them: cases of one person key share it, so that the same
// seed brings the same person.
func (s Scenario) whoStream(label string) *rand.Rand {
	if s.Case.Person != "" {
		return s.Seed.Stream("same-person/" + s.Case.Person + "/" + label)
	}
	return s.Stream(label)
}

// mostTries is how many people are looked at for one whose first stage comes out as asked; the nearest is taken when none does.
// Source: [CHOICE-CASES].
const mostTries = 120

// settle draws what the person is and the day, with what the case does to both.
func (s *Scenario) settle(who Who) {
	nearest, kept := math.Inf(1), Scenario{}
	for try := range mostTries {
		label := ""
		if try > 0 {
			label = fmt.Sprintf("/%d", try)
		}
		s.Traits = body.DrawTraits(s.whoStream("subject"+label), who.bounds())
		who.fix(&s.Traits, s.whoStream("fixed"+label))
		s.Case.Since.change(&s.Traits, s.Stream("since"))
		s.Day = body.DrawDay(s.Stream("day"), who.NervesBpm.pair())
		body.Alter(&s.Traits, &s.Day, s.Case.Ills, s.Stream("alter"))
		if who.FirstStage == nil {
			return
		}
		hr := s.firstStageGuess()
		if hr > who.FirstStage.Low-farOff && hr < who.FirstStage.High+farOff {
			hr = s.firstStageHR()
		}
		off := max(who.FirstStage.Low-hr, hr-who.FirstStage.High, 0)
		if off < nearest {
			nearest, kept = off, *s
		}
		if off == 0 {
			return
		}
	}
	s.Traits, s.Day = kept.Traits, kept.Day
}

// from draws evenly from the range, to six decimals, as all draws are.
func (r Range) from(src *rand.Rand) float64 {
	return unit.Round(r.Low+float64(src.Float64()*(r.High-r.Low)), 6)
}

// draw is how the artery of one person sounds.
func (w Sounding) draw(src *rand.Rand, rest unit.Pressure) instrument.Artery {
	a := instrument.DrawArtery(src, rest)
	switch w {
	case SilentGap:
		return instrument.Artery{Neck: a.Neck}.WithGap(src.Float64(), src.Float64())
	case SoundsToZero:
		return instrument.Artery{ToZero: true, Neck: a.Neck}
	case AsInTheBook:
		return instrument.Artery{Neck: a.Neck}
	}
	return a
}

// fix sets the traits that the case bounds by itself.
func (w Who) fix(t *body.Traits, src *rand.Rand) {
	if w.ArmCM != nil {
		t.Arm = unit.Girth(w.ArmCM.from(src))
	}
	if w.MaxHRAbove != nil {
		t.TrueMaxHR = max(unit.HR(220-float64(t.Age)+w.MaxHRAbove.from(src)), t.RestHR+60)
	}
	if w.SettlingZ != nil {
		t.HRTauZ = w.SettlingZ.from(src)
	}
	if w.Drift != nil {
		t.DriftExtra = 2 * w.Drift.from(src) // the body creeps at half of its drift: it counts from exhaustion back
	}
}

// change makes the person who they are now.
func (s *Since) change(t *body.Traits, src *rand.Rand) {
	if s == nil {
		return
	}
	t.VO2Max = unit.VO2(unit.Round(float64(t.VO2Max)*(1+s.VO2Max.from(src)/100), 6))
	if s.RestHR != nil {
		t.RestHR = unit.HR(unit.Round(float64(t.RestHR)+s.RestHR.from(src), 6))
	}
}

// farOff is how far from the range a guess must lie for its person to be passed over unseen, in bpm. Source: [CHOICE-CASES].
const farOff = 12

// firstStageGuess is about the rate of the first stage, from the traits alone: it spares the simulation of people who are far off.
func (s Scenario) firstStageGuess() float64 {
	t := s.Traits
	watts := (150 * unit.KgmPerMin).Watts()
	x := (float64(t.UnloadedCost) + float64(t.O2Cost*watts)) / float64(t.VO2Max-t.VO2Rest)
	h := x + float64(4*(t.Bend+s.Day.BendShift)*x*(1-x))
	return float64(t.RestHR) + float64(float64(t.TrueMaxHR-t.RestHR)*h) + s.Day.HRShift + float64(s.Day.Nerves*(1-x)*(1-x))
}

// firstStageHR is the true rate that the subject ends the first stage with: the mean of its last 15 s, after a minute's sitting on the cycle and two
// of warming up.
func (s Scenario) firstStageHR() float64 {
	b := s.Body()
	on := body.Setting{Posture: body.OnCycle}
	sum := 0.0
	for second := range 360 {
		if second == 60 {
			on.Pedalling, on.Metronome = true, 50
		}
		if second == 180 {
			on.Resistance = 0.5
		}
		b.Step(on)
		if second >= 345 {
			sum += float64(b.Now().HR)
		}
	}
	return sum / 15
}

// checkPerson notes what is wrong with a person who comes in several cases.
func (c *Case) checkPerson(d *Decoded) {
	if c.Person != "" && !idForm.MatchString(c.Person) {
		d.Fault("person", "person %s: small letters, digits and single hyphens, beginning with a letter", quote(c.Person))
	}
	if c.Person != "" && len(c.Reasons) > 0 {
		d.Fault("person", "person: one person has one reason: reasons and person do not go together")
	}
	if c.Person != "" && c.Who.FirstStage != nil {
		d.Fault("who.first_stage_hr_bpm", "who.first_stage_hr_bpm: it chooses people by the day as well, so that person would not be the same one on another")
	}
	if c.Since == nil {
		return
	}
	if c.Person == "" {
		d.Fault("since", "since: a change needs somebody who was here before: give person, the same in both cases")
	}
	if c.Since.Weeks < 1 || c.Since.Weeks > 520 {
		d.Fault("since.weeks", "since.weeks %d: 1 to 520", c.Since.Weeks)
	}
}
