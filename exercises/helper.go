package exercises

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A Task is what a helper can be asked to do: one keeps the wrist, another the cuff.
type Task string

const (
	HelperPulse    Task = "pulse"
	HelperPressure Task = "pressure"
)

// helpers says which tasks somebody stands ready for by the rulebook of the attempt.
func helpers(h Header) map[Task]bool {
	var book struct {
		Crew string `json:"crew"`
	}
	if json.Unmarshal(h.Rulebook, &book) != nil {
		return nil // its meaning is the grader's, which refuses what it cannot read
	}
	return map[Task]bool{
		HelperPulse:    book.Crew == "pulse_helper" || book.Crew == "both",
		HelperPressure: book.Crew == "pressure_helper" || book.Crew == "both",
	}
}

// monitored says whether the house has a monitor.
func monitored(h Header) bool {
	var book struct {
		Count struct {
			Monitor bool `json:"monitor"`
		} `json:"count"`
	}
	return json.Unmarshal(h.Rulebook, &book) == nil && book.Count.Monitor
}

// legalHelp returns why a helper cannot be asked, or nil.
func (s *State) legalHelp(c Command) *Refused {
	if c.What == "again" {
		if s.Reported == nil {
			return refuse("helper pulse 15, or helper pressure 180", "nobody has reported anything yet")
		}
		return nil
	}
	task := Task(c.What)
	switch {
	case !helpers(s.Header)[task]:
		return refuse("rules says who helps: crew", "nobody stands ready for that")
	case s.Helping[task]:
		return refuse("wait for the report", "the helper is still at it")
	case task == HelperPressure && s.CuffOn == "":
		return refuse("cuff small, adult, large or thigh puts one on", "no cuff is on the arm")
	case task == HelperPressure && (c.PumpMmHg < instrument.MinPump || c.PumpMmHg > instrument.MaxPump):
		return refuse("for example: helper pressure 180", "pump to %d mmHg: the gauge goes from %d to %d", c.PumpMmHg, instrument.MinPump, instrument.MaxPump)
	case task == HelperPulse:
		return legalWindow(c.Seconds)
	}
	return nil
}

// helperValve is how fast a helper lets the needle fall, in mmHg/s. Source: [WSU].
const helperValve = 2.5

// What helpers get wrong: a count off by one beat, a pressure read to the nearest ten, a number that comes out wrong in the saying, a report that
// comes late. Source: [HOLLERBACH1990] counts above 100 are less exact; [HLA1986] last digit zero; sizes [CHOICE-HELPER].
const (
	miscounts = 0.10
	roundsTen = 0.25
	slips     = 0.05
	dawdles   = 0.10
	dawdlesS  = 12
	usualLate = 3 // s, at most
)

// An errand is a task under way.
type errand struct {
	task    Task
	fromS   int
	seconds int
	fingers *instrument.Fingers
	cuff    *instrument.Cuff
	rand    *rand.Rand
	doneS   int // −1 while it lasts
	reportS int
	report  HelperReported
	said    HelperReported // with a slip of the tongue, if there was one
}

// send lets a helper begin.
func (s *Session) send(c Command) {
	s.takes(c, true)
	if c.What == "again" {
		again := s.lastReport
		again.Again, again.Words = true, "Once more: "+again.sentence()
		s.happened(again)
		return
	}
	e := &errand{task: Task(c.What), fromS: s.state.ClockS + findPulseS, seconds: c.Seconds, doneS: -1}
	if e.task == HelperPressure {
		e.fromS = s.state.ClockS
	}
	e.rand = s.subject.Stream(fmt.Sprintf("helper/%s/%d", e.task, e.fromS))
	at := time.Duration(e.fromS) * time.Second
	switch e.task {
	case HelperPulse:
		e.fingers = instrument.NewFingers(e.rand, instrument.Radial, at, s.state.Pedalling)
	case HelperPressure:
		e.cuff = instrument.NewCuff(e.rand, unit.Pressure(c.PumpMmHg), helperValve+s.equipment.CuffLeak, at, s.state.Pedalling,
			instrument.CuffSize(s.state.CuffOn), s.subject.Traits.Arm)
		e.cuff.Misread(s.equipment.Misread())
		e.cuff.Over(s.subject.Artery, s.sinceCuff(e.fromS))
	}
	s.errands = append(s.errands, e)
	s.happened(HelperSent{Task: e.task})
}

// help lets the errands go on for the second that has just passed, and tells what is reported in it.
func (s *Session) help(beats []instrument.Beat) {
	for i := 0; i < len(s.errands); i++ {
		e := s.errands[i]
		if e.doneS < 0 && s.state.ClockS > e.fromS {
			e.second(s, beats)
		}
		if e.doneS >= 0 && s.state.ClockS >= e.reportS {
			s.errands = append(s.errands[:i], s.errands[i+1:]...)
			i--
			s.lastReport = e.report
			s.happened(e.said)
		}
	}
}

// second is one second of an errand.
func (e *errand) second(s *Session, beats []instrument.Beat) {
	now := s.state.ClockS
	switch e.task {
	case HelperPulse:
		e.fingers.Feel(beats)
		if now-e.fromS < e.seconds {
			return
		}
		s.truth.counted(e.fromS, now)
		n := len(e.fingers.Tenths())
		if e.rand.Float64() < miscounts {
			n += 2*e.rand.IntN(2) - 1
		}
		e.report = HelperReported{Task: e.task, FromS: e.fromS, ToS: now, Beats: max(0, n), Seconds: e.seconds}
	case HelperPressure:
		if !e.cuff.Second(beats) && now-e.fromS < longestCuffS {
			return
		}
		s.truth.cuffed(e.fromS, now)
		s.cuffDownS = now
		e.report = HelperReported{Task: e.task, FromS: e.fromS, ToS: now, TopMmHg: e.cuff.Top()}
		read := instrument.ReadSounds(e.cuff.Top(), helperValve, e.cuff.Heard())
		if read.Any && !read.HeardAtOnce {
			e.report.Systolic, e.report.Diastolic = int(read.Systolic), int(read.Diastolic)
			if e.rand.Float64() < roundsTen {
				e.report.Systolic, e.report.Diastolic = (e.report.Systolic+5)/10*10, (e.report.Diastolic+5)/10*10
			}
		}
	}
	e.doneS, e.reportS = now, now+e.rand.IntN(usualLate+1)
	if e.rand.Float64() < dawdles {
		e.reportS += dawdlesS
	}
	e.said = e.report
	if e.rand.Float64() < slips {
		e.said = e.said.slip(e.rand)
	}
	e.said.Words = e.said.sentence()
}

// slip is the report with a number that comes out wrong in the saying: ten more or less.
func (h HelperReported) slip(r *rand.Rand) HelperReported {
	by := 20*r.IntN(2) - 10
	switch {
	case h.Task == HelperPulse:
		h.Beats = max(0, h.Beats+by)
	case h.Systolic > 0:
		h.Systolic += by
	}
	return h
}

// sentence is how a helper says it.
func (h HelperReported) sentence() string {
	switch {
	case h.Task == HelperPulse:
		return fmt.Sprintf("%d beats in %d seconds.", h.Beats, h.Seconds)
	case h.Systolic == 0:
		return "I could not read it. Sounds from the start, or none."
	}
	return fmt.Sprintf("%d over %d.", h.Systolic, h.Diastolic)
}
