package grader

import (
	"math/rand/v2"
	"time"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A PulseMethod is how the heart rate is read in a trial.
type PulseMethod string

const (
	Monitor PulseMethod = "monitor" // mean of the true rate over the last 15 s of the minute: no counting error
	Count10 PulseMethod = "count10" // beats felt in 10, 15 or 30 s, multiplied up
	Count15 PulseMethod = "count15"
	Count30 PulseMethod = "count30"
	Beats30 PulseMethod = "beats30" // the time that 30 beats take, to a tenth of a second
)

// PulseMethods lists them.
func PulseMethods() []PulseMethod { return []PulseMethod{Monitor, Count10, Count15, Count30, Beats30} }

// A StopReason is why a trial ended, or was not begun.
type StopReason string

const (
	StopTwoStages StopReason = "two_stages" // the line can be drawn
	StopCeiling   StopReason = "ceiling"
	StopExertion  StopReason = "exertion" // the rating at which a submaximal test ends
	StopSign      StopReason = "sign"     // one that ends a test
	StopAsked     StopReason = "asked"    // or the legs stopped
	StopPressure  StopReason = "pressure" // above the limit, or a fall that the repeat confirmed
	StopPulse     StopReason = "pulse"    // uneven, or no higher than at the load before, and confirmed by a longer count
	StopBrake     StopReason = "brake"    // goes no further
	StopNotTested StopReason = "not_tested"
)

// A TrialResult is what came of one whole test.
type TrialResult struct {
	Stages, Extensions int
	StopReason         StopReason
	Answer             protocol.Answer // not estimable when it was not tested
}

// A Trial is a whole test by the rules of the reference proctor, without talk and paper: one person at the pulse and a second at the cuff, so
// that no duty waits for another. Buffers are used again; one goroutine at a time.
type Trial struct {
	book  Rulebook
	pulse PulseMethod

	body    body.Body
	fingers instrument.Fingers
	cuff    instrument.Cuff

	subject   protocol.Person
	arm       unit.Girth
	artery    instrument.Artery
	cuffDown  int // s, when the last cuff was down; −1 when none was on yet
	setting   body.Setting
	second    int
	recent    [monitorS]unit.HR // the true rate of the last seconds
	felt      *rand.Rand
	heard     *rand.Rand
	feeling   bool
	listening bool
	last      instrument.Sounds // of the last pressure that could be read
	lastKp    unit.Resistance   // at which it was taken
	rest      unit.Pressure     // systolic
	worked    unit.Pressure     // systolic, the last of a stage; 0 when none was read

	stages   []protocol.StagePoint
	readings []trialReading
	result   TrialResult
}

// A trialReading is a pulse or a pressure of a stage, in the order in which they were had.
type trialReading struct {
	stage, at           int // at in s
	hr                  unit.HR
	systolic, diastolic unit.Pressure // systolic is 0 for a pulse
}

// How a trial passes its time, in s. Source: [ACSM8] five minutes of rest; [CSEP2009] the last 15 s of the minute; [CHOICE-TRIAL] the others.
const (
	monitorS   = 15
	restCountS = 30
	signsS     = 15 // between two glances
	cuffFromS  = 60 // of the stage
	mostCuffS  = 200
)

// NewTrial returns a trial by the book. With a count the steady rule sees that count.
func NewTrial(b Rulebook, pulse PulseMethod) *Trial {
	switch pulse {
	case Count10:
		b.Count.Seconds = 10
	case Count15:
		b.Count.Seconds = 15
	case Count30:
		b.Count.Seconds = 30
	}
	return &Trial{book: b, pulse: pulse}
}

// Run tests the person on a day, numbered from 1.
func (t *Trial) Run(p scenarios.Person, day int) TrialResult {
	p.Begin(&t.body, day)
	return t.run(p.Traits, p.Artery, p.Stream("fingers", day), p.Stream("cuff", day))
}

// run tests the person of the body as it stands.
func (t *Trial) run(who body.Traits, artery instrument.Artery, felt, heard *rand.Rand) TrialResult {
	t.felt, t.heard = felt, heard
	t.subject = protocol.Person{Sex: who.Sex, Age: who.Age, Mass: who.Mass}
	t.arm, t.artery, t.cuffDown = who.Arm, artery, -1
	t.setting = body.Setting{Posture: body.Chair}
	t.second, t.last, t.lastKp, t.rest, t.worked = 0, instrument.Sounds{}, 0, 0, 0
	t.stages, t.readings, t.result = t.stages[:0], t.readings[:0], TrialResult{}
	if !t.screened() {
		t.result.StopReason = StopNotTested
		t.result.Answer.WhyNot = "not tested"
		return t.result
	}
	t.setting = body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: t.book.Cadence}
	t.until(t.second + t.book.WarmUpS)
	for t.result.StopReason == "" {
		t.stage()
	}
	t.result.Answer = protocol.Estimate(t.book.Rules, t.subject, t.stages)
	return t.result
}

// screened rests, reads pulse and pressure, repeats what is too high, and says whether the person may be tested.
func (t *Trial) screened() bool {
	t.until(t.book.Screening.RestS)
	for try := 0; ; try++ {
		hr := t.count(t.second+restCountS, restCountS)
		t.pressure()
		t.subject.RestHR, t.rest = hr, t.last.Systolic
		if !restingSaysNo(t.book, hr, t.last.Systolic, t.last.Diastolic) {
			return true
		}
		if try == 1 || !t.book.Screening.RepeatWhenHigh {
			return false
		}
		t.until(t.second + t.book.Screening.RepeatAfterS)
	}
}

// step lets one second pass.
func (t *Trial) step() {
	beats := t.body.Step(t.setting)
	t.recent[t.second%monitorS] = t.body.Now().HR
	t.second++
	if t.feeling {
		t.fingers.Feel(beats)
	}
	if t.listening {
		if t.cuff.Second(beats) {
			t.listening, t.cuffDown = false, t.second
		}
	}
}

func (t *Trial) until(second int) {
	for t.second < second {
		t.step()
	}
}

// count counts the pulse for some seconds up to a second.
func (t *Trial) count(until, seconds int) unit.HR {
	t.until(until - seconds)
	t.fingers.Place(t.felt, instrument.Radial, time.Duration(t.second)*time.Second, t.setting.Pedalling)
	t.feeling = true
	t.until(until)
	t.feeling = false
	return unit.HR(len(t.fingers.Tenths()) * 60 / seconds)
}

// read reads the pulse for the minute mark at a second, near the rate of the reading before.
func (t *Trial) read(mark int, before unit.HR) unit.HR {
	switch t.pulse {
	case Monitor:
		t.until(mark)
		return t.shown()
	case Beats30:
		return t.time30(mark, before)
	}
	return t.count(mark, t.book.Count.Seconds)
}

// shown is the mean of the true rate over the last seconds.
func (t *Trial) shown() unit.HR {
	var sum unit.HR
	for _, hr := range t.recent {
		sum += hr
	}
	return sum / monitorS
}

// time30 times 30 beats so that they end about the mark.
func (t *Trial) time30(mark int, before unit.HR) unit.HR {
	const beats = 30
	if before == 0 {
		before = t.subject.RestHR + 20
	}
	t.until(max(t.second, mark-int(beats*60/before)-2))
	t.fingers.Place(t.felt, instrument.Radial, time.Duration(t.second)*time.Second, true)
	t.feeling = true
	for len(t.fingers.Tenths()) <= beats && t.second < mark+30 {
		t.step()
	}
	t.feeling = false
	felt := t.fingers.Tenths()
	if len(felt) <= beats {
		return unit.HR(0)
	}
	return unit.HR(unit.Round(600*beats/float64(felt[beats]-felt[0]), 0))
}

// stage runs one stage and what follows from it.
func (t *Trial) stage() {
	first := t.firstStage()
	number := len(t.stages) + 1
	work := t.book.FirstWorkRate
	if number > 1 {
		work = loadAfter(t.book, first, t.stages[len(t.stages)-1].WorkRate, number)
	}
	kp := work.Resistance(t.book.Cadence)
	if kp > instrument.MaxResistance {
		t.result.StopReason = StopBrake
		return
	}
	t.setting.Resistance = kp
	t.result.Stages = number
	t.stages = append(t.stages, protocol.StagePoint{Stage: number, WorkRate: work})
	now := &t.stages[len(t.stages)-1]
	most, err := protocol.PredictedMaxHR(t.book.MaxHR, t.subject.Sex, t.subject.Age)
	if err != nil {
		panic("grader: a rulebook without a maximum: " + err.Error()) // Check refuses it
	}
	ceiling := protocol.Ceiling(t.book.Rules, most, t.subject.RestHR)
	from := t.second
	cuff := stageCuff{trial: t, from: from, before: t.worked}
	doubts := newStagePulse(t)
	for minute, wanted, extensions := 1, t.book.StageS/60, 0; ; minute++ {
		mark := from + 60*minute
		for at := mark - 60 + signsS; at <= mark-signsS; at += signsS {
			t.until(min(at, mark-t.window()))
			if t.glance(&cuff) {
				t.unfinished(now, from)
				return
			}
		}
		var before unit.HR
		if n := len(now.Minutes); n > 0 {
			before = now.Minutes[n-1]
		}
		hr := t.read(mark, before)
		if t.glance(&cuff) {
			t.unfinished(now, from)
			return
		}
		if hr == 0 { // nothing that could be timed
			now.Void = "a reading is missing"
		}
		now.Minutes = append(now.Minutes, hr)
		t.readings = append(t.readings, trialReading{stage: number, at: t.second, hr: hr})
		again, ended := doubts.settle(&cuff, minute, hr)
		if again > 0 {
			hr, now.Minutes[len(now.Minutes)-1] = again, again
			t.readings = append(t.readings, trialReading{stage: number, at: t.second, hr: hr})
		}
		if ended {
			t.unfinished(now, from)
			return
		}
		if protocol.AtCeiling(t.book.Rules, hr, ceiling, before > 0 && steadyPair(t.book, before, hr)) {
			t.result.StopReason = StopCeiling
			t.unfinished(now, from)
			return
		}
		if minute < wanted {
			continue
		}
		if oneMoreMinute(t.book, now.Minutes, extensions) {
			extensions++
			t.result.Extensions++
			wanted++
			continue
		}
		break
	}
	t.endOfStage(&cuff)
}

// window is how long before the mark the pulse must be taken, in s.
func (t *Trial) window() int {
	switch t.pulse {
	case Monitor:
		return 0
	case Beats30:
		return 40
	}
	return t.book.Count.Seconds
}

// firstStage are the minutes of stage 1.
func (t *Trial) firstStage() []unit.HR {
	if len(t.stages) == 0 {
		return nil
	}
	return t.stages[0].Minutes
}

// unfinished marks a stage that ended before its last count.
func (t *Trial) unfinished(now *protocol.StagePoint, from int) {
	if t.second-from < t.book.StageS-t.book.Count.Seconds {
		now.Void = "the stage was not finished"
	}
}

// endOfStage decides after a stage that is complete: the end, or the next.
func (t *Trial) endOfStage(cuff *stageCuff) {
	for s := 0; cuff.owed() && s < mostCuffS; s++ { // finished at the same load
		t.step()
		if t.glance(cuff) {
			return
		}
	}
	if t.body.Exertion() >= t.book.Stop.AskRPE {
		t.result.StopReason = StopExertion
		return
	}
	qualify, usable := 0, protocol.Estimate(t.book.Rules, t.subject, t.stages)
	for _, p := range usable.Points {
		if p.Used {
			qualify++
		}
	}
	if usable.Confidence == "two points or more" && qualify >= 2 {
		t.result.StopReason = StopTwoStages
	}
}

// glance looks, asks and listens, moves the cuff on, and says whether the test has ended.
func (t *Trial) glance(cuff *stageCuff) bool {
	if t.body.Now().Stopped {
		t.result.StopReason = StopAsked
		return true
	}
	for _, y := range t.body.Symptoms() {
		switch {
		case y.Sign == body.AskedToStop:
			t.result.StopReason = StopAsked
		case isEmergency(y.Sign, y.Grade) || isEnd(y.Sign, y.Grade) && (y.Sign != body.CadenceLost || y.Grade > 1):
			t.result.StopReason = StopSign
		}
		if t.result.StopReason != "" {
			return true
		}
	}
	return cuff.moved()
}
