package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// Grade is the verdict on a course under a rulebook: the same course always gives the same report.
func Grade(b Rulebook, c *Course) Report {
	r, _ := gradeItems(b, c)
	r.Timeline = timeline(b, c, r.Findings)
	r.Practise = practice(r.Findings)
	r.Sheet, r.Record = sheetOf(c), record(b, c, r.Worked)
	return r
}

// gradeItems is the verdict without its time line, and what each rule came to.
func gradeItems(b Rulebook, c *Course) (Report, []Item) {
	c = c.workedUnder(b)
	r := Report{
		Model: c.Header.Model, Case: c.Header.Case, Seed: c.Header.Seed, Subject: c.Header.Subject, RulebookHash: b.Hash(), Mode: c.Header.Mode,
		Coached: c.Header.Coached, Redone: c.Header.Redo != nil, OfPack: c.Header.Pack != nil,
		Findings: []Finding{}, Good: []string{}, Slips: []Slip{}, Gate: []string{}, Notes: []string{},
	}
	items := r.scoreBy(b, c, Rules())
	r.Student = studentEstimate(c)
	r.Worked, r.Perfect = WorkSheet(b, c), WorkPerfect(b, c)
	r.Slips = append(r.Slips, slips(b, c)...)
	if c.State.Closed {
		truth := c.Closing.Truth
		r.Truth = &truth
	} else {
		r.Notes = append(r.Notes, "Not handed in: judged only on what was done, without the truth; it can be gone on with where it was left.")
	}
	r.Margins = margins(r.Student, r.Worked, r.Perfect, c.Closing.Truth.VO2MaxRel)
	if r.Coached {
		r.Notes = append(r.Notes, "Coached: practice. A coach said at each prompt what was due.")
	}
	if r.Redone {
		r.Notes = append(r.Notes, fmt.Sprintf("Done over: practice. Up to %s it is an earlier attempt.", where(c, c.Header.Redo.AtS)))
	}
	if own := c.Header.RulebookHash; own != "" && own != r.RulebookHash {
		r.Notes = append(r.Notes, fmt.Sprintf("Judged by other rules (%s) than it was done under (%s): where the two differ, what was right there may be a finding here.", b.Name, nameOf(c.Header)))
	}
	if m := c.Header.Model; m != 0 && m != scenarios.Model {
		r.Notes = append(r.Notes, fmt.Sprintf("Made with model %d of the subjects; this program has %d. Judged by what stands in the file: the person cannot be played again.", m, scenarios.Model))
	}
	r.Notes = append(r.Notes, "Emergency actions not yet reviewed by a qualified person.")
	return r, items
}

// workedUnder is the course with its calculation worked once under the rulebook; the course itself stays free of it.
func (c *Course) workedUnder(b Rulebook) *Course {
	once := *c
	once.worked, once.sums, once.doubts = nil, nil, nil
	answer := WorkSheet(b, &once)
	once.worked = &answer
	once.sums = sums(b, &once)
	once.doubts = map[string][]pulseDoubt{unevenPulse: findDoubts(b, &once, unevenPulse), flatRate: findDoubts(b, &once, flatRate)}
	return &once
}

// judged is one rule with what it found.
type judged struct {
	rule  Rule
	found []Opportunity
}

// scoreBy runs the rules, charges each cause once, and adds up the parts. It returns what each rule that was reached came to.
func (r *Report) scoreBy(b Rulebook, c *Course, rules []Rule) []Item {
	charged := map[string]string{}     // cause → the rule that bears it
	closed := map[string]bool{}        // causes that have closed the gate
	worth := map[Part]float64{}        // points of all rules of a part
	elsewhere := map[string][]string{} // what a rule closed of causes that another bears
	var all []judged
	for _, rule := range rules {
		worth[rule.Part] += b.Points[rule.Name]
		j := judged{rule: rule}
		for _, o := range rule.Judge(b, c) {
			if o.Finding != nil && o.Cause != "" {
				// A cause is charged once, but no charge elsewhere keeps it from closing the gate.
				if o.ClosesGate != "" && closed[o.Cause] {
					o.ClosesGate = ""
				}
				closed[o.Cause] = closed[o.Cause] || o.ClosesGate != ""
				if by, ok := charged[o.Cause]; ok && by != rule.Name {
					f := o.weighed()
					f.ChargedTo = by
					r.Findings = append(r.Findings, f)
					if o.ClosesGate != "" {
						r.Gate = append(r.Gate, o.ClosesGate)
						elsewhere[rule.Name] = append(elsewhere[rule.Name], o.ClosesGate)
					}
					continue
				}
				charged[o.Cause] = rule.Name
			}
			j.found = append(j.found, o)
		}
		all = append(all, j)
	}
	scores := map[Part]*PartScore{}
	for _, p := range []Part{Safety, Validity, Procedure, Arithmetic} {
		r.Parts = append(r.Parts, PartScore{Part: p, Weight: b.Weights.Of(p)})
	}
	for i := range r.Parts {
		scores[r.Parts[i].Part] = &r.Parts[i]
	}
	var items []Item
	for _, j := range all {
		n := float64(len(j.found))
		closes := elsewhere[j.rule.Name]
		if n == 0 || worth[j.rule.Part] == 0 {
			if len(closes) > 0 {
				items = append(items, Item{Rule: j.rule.Name, Part: j.rule.Part, Closes: closes})
			}
			continue
		}
		points := b.Points[j.rule.Name] * b.Weights.Of(j.rule.Part) / worth[j.rule.Part]
		s := scores[j.rule.Part]
		s.Reachable += points
		silent := 0.0 // lost at places that the rule's first finding speaks for
		for _, o := range j.found {
			if o.Finding == nil {
				silent += float64(points*(1-o.Credit)) / n
			}
		}
		for _, o := range j.found {
			s.Earned += float64(points*o.Credit) / n
			lost := points * (1 - o.Credit) / n
			if o.Finding != nil {
				lost, silent = lost+silent, 0
			}
			r.note(o, lost)
			if o.ClosesGate != "" {
				closes = append(closes, o.ClosesGate)
			}
		}
		items = append(items, item(j, points, closes))
	}
	r.total(b)
	return items
}

// note takes an opportunity's words and what it closes.
func (r *Report) note(o Opportunity, lost float64) {
	if o.Finding != nil {
		f := o.weighed()
		f.Lost = unit.Round(lost, 2)
		r.Findings = append(r.Findings, f)
	}
	if o.Good != "" {
		r.Good = append(r.Good, o.Good)
	}
	if o.ClosesGate != "" {
		r.Gate = append(r.Gate, o.ClosesGate)
	}
}

// weighed is the finding with what it could have cost.
func (o Opportunity) weighed() Finding {
	f := *o.Finding
	f.ClosesGate = o.ClosesGate
	f.Stake = stakeOf(f.Rule, f.Part)
	return f
}

func (r *Report) total(b Rulebook) {
	var earned, reachable float64
	for i := range r.Parts {
		p := &r.Parts[i]
		earned, reachable = earned+p.Earned, reachable+p.Reachable
		p.Earned, p.Reachable = unit.Round(p.Earned, 2), unit.Round(p.Reachable, 2)
	}
	if reachable == 0 {
		return
	}
	percent := unit.Round(100*earned/reachable, 1)
	r.Percent = &percent
	r.Passed = len(r.Gate) == 0 && percent >= b.PassPercent
}

// studentEstimate collects the calculation as it was written.
func studentEstimate(c *Course) StudentEstimate {
	num := func(key exercises.Key) *float64 {
		if x, ok := c.number(key); ok {
			return &x
		}
		return nil
	}
	text := func(key exercises.Key) string {
		if list := written(c, key); len(list) > 0 {
			return strings.TrimSpace(list[len(list)-1].Text)
		}
		return ""
	}
	return StudentEstimate{
		Points: text(exercises.KeyPoints), MaxHR: num(exercises.KeyMaxHR), Ceiling: num(exercises.KeyCeiling), Slope: num(exercises.KeySlope),
		MaxWorkRate: num(exercises.KeyMaxWorkRate), VO2Abs: num(exercises.KeyVO2Abs), VO2Rel: num(exercises.KeyVO2Rel), METs: num(exercises.KeyMETs),
		Rating: text(exercises.KeyRating), ErrorRange: num(exercises.KeyErrorRange), NoEstimate: text(exercises.KeyNoEstimate),
	}
}

// nameOf is what the rulebook of an attempt is called.
func nameOf(h exercises.Header) string {
	b, err := FromJSON(h.Rulebook)
	if err != nil || b.Name == "" {
		return "without a name"
	}
	return b.Name
}
