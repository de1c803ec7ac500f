package grader

import (
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A Mark is what one attempt came to, as far as a class needs it: no time line, no words of findings.
type Mark struct {
	Model        int
	Case         string
	Seed         scenarios.Seed
	RightAct     scenarios.RightAct // "" until handed in
	Mode         string
	Coached      bool
	Redone       bool   // its beginning is that of an earlier attempt
	Closed       bool   // handed in
	Rulebook     string // its name
	RulebookHash string
	PassPercent  float64

	Off      float64  // percentage points taken off, as for lateness
	Percent  *float64 // of the points that could be reached; nil when nothing was reached
	Passed   bool
	Gate     []string
	Parts    []PartScore
	Items    []Item
	Findings int // that cost points
	Slips    []Slip
	Margins  Margins

	Estimate  *float64         // the student's VO2max, mL/kg/min
	True      *float64         // the subject's
	Pulse     []Pair           // bpm, written against true in that window
	Stages    []protocol.Point // the stages as they stand on the sheet
	Systolic  []Pair           // mmHg, written against the mean over the deflation
	Diastolic []Pair
	Stops     Stops
	Perfect   *float64 // |M| to be expected of a perfect counter on the same path, mL/kg/min; nil when not asked for or not estimable
}

// A Pair is one reading and what was so.
type Pair struct{ Read, True float64 }

// Stops is how one test bore on stopping: what was due and whether it was met.
type Stops struct {
	Begun      bool // the person pedalled
	Barred     bool // answers, looks or resting values spoke against the test, as far as the student could know
	Sign       bool // a sign, word or pressure that ends a test could be known
	SignMet    bool // and the test was ended in time
	Ceiling    bool // a reading was at the ceiling
	CeilingMet bool
	False      bool // stopped at once for nothing
}

// MarkOf marks an attempt under a rulebook. With a counter it also works what a perfect counter would have come to on that path.
func MarkOf(b Rulebook, c *Course, counter *PerfectCounter) Mark {
	r, items := gradeItems(b, c)
	m := Mark{
		Model: r.Model, Case: r.Case, Seed: r.Seed, Mode: r.Mode, Coached: c.Header.Coached, Redone: c.Header.Redo != nil, Closed: c.State.Closed,
		Rulebook: b.Name, RulebookHash: r.RulebookHash, PassPercent: b.PassPercent,
		Percent: r.Percent, Passed: r.Passed, Gate: r.Gate, Parts: r.Parts, Items: items, Margins: r.Margins,
		Estimate: r.Student.VO2Rel, Slips: r.Slips, Stages: r.Worked.Points,
	}
	for _, f := range r.Findings {
		if f.ChargedTo == "" {
			m.Findings++
		}
	}
	if r.Truth != nil {
		m.RightAct, m.True = r.Truth.RightAct, known(r.Truth.VO2MaxRel)
	}
	m.pairs(c)
	m.Stops = stopsOf(b, c, items)
	if counter != nil && r.Perfect.Estimable {
		m.Perfect = counter.Expected(b, c, r.Perfect)
	}
	return m
}

// pairs collects what was written against what was so.
func (m *Mark) pairs(c *Course) {
	for _, k := range c.Counts {
		if k.WroteHR != nil && k.True > 0 {
			m.Pulse = append(m.Pulse, Pair{float64(*k.WroteHR), float64(k.True)})
		}
	}
	for _, k := range c.Cuffs {
		if k.WroteSystolic != nil && k.TrueSystolic > 0 {
			m.Systolic = append(m.Systolic, Pair{float64(*k.WroteSystolic), float64(k.TrueSystolic)})
		}
		if k.WroteDiastolic != nil && k.TrueDiastolic > 0 {
			m.Diastolic = append(m.Diastolic, Pair{float64(*k.WroteDiastolic), float64(k.TrueDiastolic)})
		}
	}
}

// stopRules are the rules by which a test is ended for what could be seen, heard or measured.
func stopRules() []string {
	return []string{ruleStopEmergency.Name, ruleAskedToStop.Name, ruleEndSign.Name, rulePressureLimit.Name}
}

func stopsOf(b Rulebook, c *Course, items []Item) Stops {
	s := Stops{Begun: begun(c), SignMet: true, CeilingMet: true}
	if !s.Begun {
		_, s.Barred = mayRefuse(b, c)
	}
	for _, i := range items {
		for _, name := range stopRules() {
			if i.Rule == name && i.Places > 0 {
				s.Sign = true
				s.SignMet = s.SignMet && i.worst > 0
			}
		}
		switch i.Rule {
		case ruleScreenDecision.Name:
			s.Barred = s.Barred || i.worst < 1
		case ruleCeiling.Name:
			s.CeilingMet = i.worst > 0
		case ruleFalseStop.Name:
			s.False = i.Places > 0 && i.Credit == 0
		}
	}
	for _, run := range c.Stages {
		s.Ceiling = s.Ceiling || reachedCeiling(b, c, run)
	}
	s.SignMet, s.CeilingMet = s.SignMet && s.Sign, s.CeilingMet && s.Ceiling
	return s
}

// An Override is an instructor's decision on one rule of one attempt. Full credit also opens the gate that the rule closed.
type Override struct {
	Rule    string  `json:"rule"`
	Credit  float64 `json:"credit"` // 0 to 1
	Because string  `json:"because"`
}

// With is the mark as decided. What is not overridden stays as it was judged; the automatic mark is not touched.
func (m Mark) With(decided []Override) Mark {
	items := append([]Item{}, m.Items...)
	for _, o := range decided {
		for i := range items {
			if items[i].Rule != o.Rule {
				continue
			}
			items[i].Credit = o.Credit
			if o.Credit == 1 {
				items[i].Closes = nil
			}
		}
	}
	m.Items = items
	m.Gate = []string{}
	m.Parts = append([]PartScore{}, m.Parts...)
	for p := range m.Parts {
		part := &m.Parts[p]
		part.Earned, part.Reachable = 0, 0
		for _, i := range items {
			if i.Part == part.Part {
				part.Earned += float64(i.Points * i.Credit)
				part.Reachable += i.Points
			}
		}
		part.Earned, part.Reachable = unit.Round(part.Earned, 2), unit.Round(part.Reachable, 2)
	}
	for _, i := range items {
		m.Gate = append(m.Gate, i.Closes...)
	}
	return m.weighed()
}

// Less is the mark with percentage points taken off.
func (m Mark) Less(points float64) Mark {
	m.Off = points
	return m.weighed()
}

// weighed works percentage and verdict from the points.
func (m Mark) weighed() Mark {
	earned, reachable := m.Points()
	if reachable == 0 {
		return m
	}
	percent := unit.Round(100*earned/reachable, 1)
	m.Percent = &percent
	m.Passed = len(m.Gate) == 0 && percent >= m.PassPercent
	return m
}

// Points are what the attempt earned, less what was taken off, and what it could.
func (m Mark) Points() (earned, reachable float64) {
	for _, i := range m.Items {
		earned += float64(i.Points * i.Credit)
		reachable += i.Points
	}
	return max(0, earned-reachable*m.Off/100), reachable
}
