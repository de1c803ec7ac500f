package grader

import (
	"sort"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A HandSheet is a data sheet as somebody wrote it by hand, typed in: who was tested, the stages with their readings, and the calculation.
type HandSheet struct {
	Sex     unit.Sex
	Age     int // whole years
	Mass    unit.Mass
	RestHR  unit.HR      // 0 when it is not on the sheet
	RestBP  HandPressure // zero when it is not on the sheet
	Stages  []HandStage  // in order, from stage 1
	Answers []HandAnswer // what was written of the calculation, a box at most once
}

// A HandStage is one stage of a sheet.
type HandStage struct {
	WorkRate  unit.WorkRate
	Pulses    []HandPulse    // of its last minutes in order; one alone is the rate of a stage that had settled
	Pressures []HandPressure // in order
}

// A HandPulse is one pulse as written: the count, when it stands there, and the rate.
type HandPulse struct {
	Beats int     // 0 when only the rate is written
	HR    unit.HR // 0 when only the count is
}

// blank is a minute without a pulse.
func (p HandPulse) blank() bool { return p.Beats == 0 && p.HR == 0 }

// A HandPressure is one pressure as written.
type HandPressure struct{ Systolic, Diastolic unit.Pressure }

// A HandAnswer is one box of the calculation.
type HandAnswer struct {
	Key  exercises.Key
	Text string
}

// HandKeys are the boxes of the calculation that a sheet by hand may hold, in the order of the page.
func HandKeys() []exercises.Key {
	return []exercises.Key{
		exercises.KeyMaxHR, exercises.KeyCeiling, exercises.KeyCeilingCount, exercises.KeyPoints, exercises.KeySlope, exercises.KeyMaxWorkRate,
		exercises.KeyVO2Rel, exercises.KeyVO2Abs, exercises.KeyMETs, exercises.KeyRating, exercises.KeyErrorRange, exercises.KeyNoEstimate,
	}
}

// A SheetVerdict is what a sheet by hand comes to. There is no truth behind it: it tells of the arithmetic, and of what the sheet itself shows.
type SheetVerdict struct {
	Student  StudentEstimate `json:"student"`
	Worked   protocol.Answer `json:"worked_answer"` // on the sheet's own readings
	MarginA  Margin          `json:"margin_a"`      // the sheet's estimate against that
	Slips    []Slip          `json:"slips"`
	Items    []Item          `json:"items"`    // of the calculation; none of a real person's sheet
	Findings []HandFinding   `json:"findings"` // of the calculation
	Earned   *float64        `json:"points_earned"`
	Reach    *float64        `json:"points_reachable"`
	Percent  *float64        `json:"percent"`
	Breaches []HandFinding   `json:"breaches"` // of a real person's sheet: rules that the sheet itself shows broken
}

// A HandFinding is a Finding without a second, which no sheet holds.
type HandFinding struct {
	Rule      string   `json:"rule"`
	Part      Part     `json:"part"`
	Where     string   `json:"where"` // at rest, stage 2, calculation
	Known     string   `json:"known"`
	Did       string   `json:"did"`
	Should    string   `json:"should"`
	Why       string   `json:"why"`
	Sources   []string `json:"sources"`
	Lost      float64  `json:"points_lost"`
	ChargedTo string   `json:"charged_to,omitempty"`
}

// onSheet puts a finding where it stands on the sheet.
func (f Finding) onSheet(c *Course) HandFinding {
	h := HandFinding{f.Rule, f.Part, "calculation", f.Known, f.Did, f.Should, f.Why, f.Sources, f.Lost, f.ChargedTo}
	if f.Part != Arithmetic {
		h.Where = stageOf(c, f.AtS)
	}
	return h
}

// GradeSheet grades the calculation of a sheet of synthetic or given readings: each number on those before it, by the same rules as an attempt.
func GradeSheet(b Rulebook, h HandSheet) SheetVerdict {
	c := h.course(b)
	v := h.verdict(b, c)
	r := Report{Findings: []Finding{}}
	v.Items = r.scoreBy(b, c, handRules())
	for _, f := range r.Findings {
		v.Findings = append(v.Findings, f.onSheet(c))
	}
	for _, p := range r.Parts {
		if p.Part == Arithmetic && p.Reachable > 0 {
			v.Earned, v.Reach = rounded(p.Earned, 2), rounded(p.Reachable, 2)
			v.Percent = rounded(100*p.Earned/p.Reachable, 1)
		}
	}
	return v
}

// GradeRealSheet says of a sheet from a real person no more than it shows: the margin of its arithmetic, and which rules its readings break.
func GradeRealSheet(b Rulebook, h HandSheet) SheetVerdict {
	c := h.course(b)
	v := h.verdict(b, c)
	v.Breaches = shownBreaches(b, c)
	return v
}

func (h HandSheet) verdict(b Rulebook, c *Course) SheetVerdict {
	v := SheetVerdict{Student: studentEstimate(c), Worked: WorkSheet(b, c), Slips: []Slip{}, Items: []Item{}, Findings: []HandFinding{}, Breaches: []HandFinding{}}
	v.Slips = append(v.Slips, slips(b, c)...)
	estimate := v.Student
	if estimate.VO2Rel == nil && estimate.VO2Abs != nil { // only litres are written
		rel := *estimate.VO2Abs * 1000 / float64(h.Mass)
		estimate.VO2Rel = &rel
	}
	v.MarginA = margins(estimate, v.Worked, protocol.Answer{}, 0).A
	return v
}

// handRules are the rules of the calculation. Where no raw count is written, that on multiplying finds nothing and leaves the points in reach.
func handRules() []Rule {
	rules := arithmeticRules()
	for i := range rules {
		rules[i] = signed(rules[i])
	}
	return rules
}

// Where the readings of a sheet by hand are put in time: far enough apart that none is taken for another's. A sheet holds no seconds. Source: [CHOICE-HANDSHEET].
const (
	handPedalS = 1000 // the first turn of the pedals; all that was read at rest lies before
	handRestS  = 100
	handCuffS  = 40 // a deflation; three of them fit into a stage
)

// course lays a sheet out as an attempt that was run exactly by the minute, so that the same functions judge it.
func (h HandSheet) course(b Rulebook) *Course {
	state := &exercises.State{Closed: true}
	c := &Course{State: state, PedalAtS: handPedalS, StoppedAtS: -1, ReleasedAtS: -1, EndedHow: exercises.CoolDown}
	c.Header.Subject = exercises.Subject{Sex: string(h.Sex), AgeY: h.Age}
	c.Closing.Truth.Sex, c.Closing.Truth.AgeY = c.Header.Subject.Sex, h.Age // by which the house's ceiling goes
	state.Header = c.Header
	if h.RestHR > 0 {
		hr := h.RestHR
		c.Counts = append(c.Counts, Count{FromS: handRestS, ToS: handRestS + 30, KnownS: handRestS + 30, Seconds: 30, HR: hr, WroteHR: &hr})
	}
	if h.RestBP.Systolic > 0 {
		c.Cuffs = append(c.Cuffs, h.RestBP.take(handRestS+60))
	}
	at := handPedalS + b.WarmUpS
	for i, s := range h.Stages {
		run := s.run(b, i+1, at)
		run.Last = i == len(h.Stages)-1
		for j, p := range s.Pulses {
			if !p.blank() {
				minute := max(b.StageS/60, len(s.Pulses)) - len(s.Pulses) + 1 + j
				k := p.count(b, at+60*minute-1) // before the load is changed
				k.Stage, k.Minute = run.Number, minute
				c.Counts = append(c.Counts, k)
			}
		}
		for j, p := range s.Pressures { // as late as they can have been: what followed at once is not held against the sheet
			k := p.take(run.ToS - 1 - handCuffS - (handCuffS+5)*(len(s.Pressures)-1-j))
			k.Stage, k.Minute = run.Number, 1
			c.Cuffs = append(c.Cuffs, k)
		}
		c.Stages = append(c.Stages, run)
		at = run.ToS
	}
	c.EndedAtS, state.EndedAtS, state.ClockS = at, at, at+60
	if len(h.Stages) == 0 { // nobody pedalled: there is nothing to calculate
		c.PedalAtS, c.EndedAtS, state.EndedAtS = -1, -1, -1
	}
	write := func(key exercises.Key, text string) {
		state.Items = append(state.Items, exercises.Item{Number: len(state.Items) + 1, AtS: state.ClockS, Key: key, Text: text})
	}
	write(exercises.KeyMass, plainNumber(float64(h.Mass)))
	for _, a := range h.Answers {
		write(a.Key, a.Text)
	}
	points := sheetPoints(b, c)
	for i, s := range h.Stages { // which the minutes of an attempt cannot say
		points[i].Settled = len(s.Pulses) == 1
	}
	answer := work(b, c, points)
	c.worked = &answer
	c.sums = sums(b, c)
	return c
}

// run is the stage in time, from a second on.
func (s HandStage) run(b Rulebook, number, from int) StageRun {
	minutes := max(b.StageS/60, len(s.Pulses))
	for i := len(s.Pulses) - 1; i >= 0 && s.Pulses[i].blank(); i-- { // it was not finished
		minutes--
	}
	r := StageRun{Number: number, FromS: from, ToS: from + 60*max(1, minutes), Resistance: s.WorkRate.Resistance(b.Cadence), WorkRate: s.WorkRate}
	for m := b.StageS / 60; m < minutes; m++ {
		r.Extensions = append(r.Extensions, from+60*m)
	}
	return r
}

// HandSheetOf is the sheet of an attempt as somebody would copy it from the readings taken, without the calculation.
func HandSheetOf(b Rulebook, c *Course) HandSheet {
	p := c.person()
	h := HandSheet{Sex: p.Sex, Age: int(p.Age), Mass: p.Mass, RestHR: p.RestHR}
	for _, k := range c.Cuffs {
		if k.read() && (!begun(c) || k.ToS <= c.PedalAtS) {
			h.RestBP = HandPressure{k.systolic(), k.diastolic()}
		}
	}
	for _, s := range c.Stages {
		stage := HandStage{WorkRate: s.WorkRate}
		until := s.ToS
		if s.Last {
			until += b.Count.AfterS
		}
		list := readings(c, s, until)
		minutes := b.StageS / 60
		for _, r := range list {
			minutes = max(minutes, r.Minute)
		}
		stage.Pulses = make([]HandPulse, minutes)
		for _, r := range list {
			stage.Pulses[r.Minute-1] = HandPulse{r.Count.Beats, r.HR}
			if r.Count.Timed || r.Count.Seconds != b.Count.Seconds {
				stage.Pulses[r.Minute-1].Beats = 0
			}
		}
		stage.Pulses = lastMinutes(b, s, stage.Pulses)
		for _, k := range c.Cuffs {
			if k.Stage == s.Number && k.read() {
				stage.Pressures = append(stage.Pressures, HandPressure{k.systolic(), k.diastolic()})
			}
		}
		h.Stages = append(h.Stages, stage)
	}
	return h
}

// lastMinutes takes blank minutes off the end of a stage that was run to its end, since on a sheet they would say that it was not. One reading that
// stays keeps a blank before it: alone it would be the rate of a stage that had settled.
func lastMinutes(b Rulebook, s StageRun, pulses []HandPulse) []HandPulse {
	if voidStage(b, s, len(pulses)) != "" {
		return pulses
	}
	n := len(pulses)
	for n > 0 && pulses[n-1].blank() {
		n--
	}
	switch n {
	case 0:
		return pulses
	case 1:
		return []HandPulse{{}, pulses[0]}
	}
	return pulses[:n]
}

// count is a pulse that ended at a second.
func (p HandPulse) count(b Rulebook, at int) Count {
	k := Count{FromS: at - b.Count.Seconds, ToS: at, KnownS: at, Seconds: b.Count.Seconds, HR: p.HR}
	if hr := p.HR; hr > 0 {
		k.WroteHR = &hr
	} else {
		k.HR = unit.HR(p.Beats) * 60 / unit.HR(b.Count.Seconds) // nobody multiplied: the count stands for the rate
	}
	if p.Beats > 0 {
		beats := p.Beats
		k.Beats, k.WroteBeats = beats, &beats
	}
	return k
}

// take is a pressure that was begun at a second.
func (p HandPressure) take(at int) CuffTake {
	sys, dia := p.Systolic, p.Diastolic
	return CuffTake{FromS: at, ToS: at + handCuffS, KnownS: at + handCuffS, Top: int(sys) + 20, Valve: helperValve, Systolic: sys, Diastolic: dia, Sounded: true, WroteSystolic: &sys, WroteDiastolic: &dia}
}

// shownBreaches are the rules that the readings on the sheet show broken. What the sheet does not hold (the second of a reading, what was seen,
// heard or said, why the test was ended) is not judged.
func shownBreaches(b Rulebook, c *Course) []HandFinding {
	rules := []Rule{
		ruleFirstWorkRate, ruleBranchColumn, ruleLaterLoads, ruleSteadyAccepted, ruleExtensionNeedless, ruleExtensionsMany, ruleCeiling, rulePressureLimit,
		ruleVerifyPressure, ruleNoEstimate, rulePoints,
	}
	var found []Finding
	if high, ok := lastHigh(b, c); ok {
		found = append(found, Finding{
			Rule: ruleScreenDecision.Name, Part: Safety, Known: "At rest: " + high.text + ".", Did: "The test was begun.",
			Should: restLimits(b), Why: ruleScreenDecision.Why, Sources: ruleScreenDecision.Sources,
		})
	}
	for _, r := range rules {
		for _, o := range signed(r).Judge(b, c) {
			if o.Finding != nil {
				found = append(found, *o.Finding)
			}
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].AtS < found[j].AtS })
	all := []HandFinding{}
	for _, f := range found {
		all = append(all, f.onSheet(c))
	}
	return all
}

// stageOf names the stage of a second; the second at which the last one ended is its own.
func stageOf(c *Course, at int) string {
	for i := len(c.Stages) - 1; i >= 0; i-- {
		if at >= c.Stages[i].FromS {
			return "stage " + plainNumber(float64(c.Stages[i].Number))
		}
	}
	return "at rest"
}
