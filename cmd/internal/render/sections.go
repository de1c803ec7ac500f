package render

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kilopond/grader"
	"kilopond/physiology"
	"kilopond/scenarios"
)

// OutlineOf lays a report out: what happened to the person first, what became of the number later, and what to do now last.
func OutlineOf(r grader.Report) Outline {
	numbers := numbered(r.Findings)
	who := r.Subject
	o := Outline{Title: "Report", Subject: fmt.Sprintf("%s, %s, %d, %s. Case %s.", who.Name, SexWord(who.Sex), who.AgeY, who.Work, r.Case), Caution: Caution}
	add := func(id, title string, blocks ...Block) {
		if len(blocks) > 0 {
			o.Sections = append(o.Sections, Section{id, title, blocks})
		}
	}
	add("verdict", "Verdict", verdict(r)...)
	add("findings", "Findings", findings(r, numbers)...)
	if len(r.Good) > 0 {
		add("good", "Right, though it could have gone wrong", Bullets{r.Good})
	}
	add("points", "Points reached and in reach", points(r)...)
	add("sheet", "The sheet as you wrote it", sheet(r)...)
	add("course", "The course of the test", course(r, numbers)...)
	add("calculation", "The calculation", calculation(r)...)
	add("margins", "Margins", margins(r)...)
	add("truth", "The truth", truth(r)...)
	add("sources", "Where it is written", sources(r)...)
	add("practise", "One thing to practise next", practise(r, numbers)...)
	add("next", "What now", choices(r)...)
	return o
}

// verdict is the word, the points, the gate, and what is to be known of the report itself.
func verdict(r grader.Report) []Block {
	all := judgement(r)
	for _, n := range r.Notes {
		all = append(all, Say{Text: n})
	}
	return all
}

func judgement(r grader.Report) []Block {
	if r.Percent == nil {
		return []Block{Say{Text: "Nothing was reached that could be judged.", Strong: true}}
	}
	word := "Not passed"
	if r.Passed {
		word = "Passed"
	}
	if r.Coached {
		word += " (coached: practice)"
	}
	if r.Redone {
		word += " (done over: practice)"
	}
	word += "."
	earned, reachable := totals(r)
	all := []Block{
		Say{Text: word, Strong: true},
		Say{Text: fmt.Sprintf("%s of %s points in reach on your path: %s %%.", Num(earned, 1), Num(reachable, 1), Num(*r.Percent, 1))},
	}
	if len(r.Gate) == 0 {
		return append(all, Say{Text: "The gate is open: nothing was found that closes it."})
	}
	times := map[string]int{}
	for _, g := range r.Gate {
		times[g]++
	}
	for _, g := range r.Gate {
		text := "The gate is closed: " + g
		switch times[g] {
		case 0:
			continue // said already
		case 1:
		default:
			text += fmt.Sprintf(", %d times", times[g])
		}
		times[g] = 0
		all = append(all, Say{Text: text + ".", Strong: true})
	}
	return all
}

func totals(r grader.Report) (earned, reachable float64) {
	for _, s := range r.Parts {
		earned, reachable = earned+s.Earned, reachable+s.Reachable
	}
	return earned, reachable
}

// A numberedFinding is a finding with the number that it bears in report and picture.
type numberedFinding struct {
	grader.Finding
	Number int
}

// groups are the findings' groups in the order of the report: by what they could have cost a real person, then by what they cost the number.
func groups() []struct{ id, title string } {
	return []struct{ id, title string }{
		{"life", "Could have cost a real person a life or lasting harm"},
		{"injury", "Could have ended in a fall, a faint or pain"},
		{"trust", "Could have cost comfort, consent or the test itself"},
		{string(grader.Validity), "Validity: whether the number means anything"},
		{string(grader.Procedure), "Procedure: how the readings were taken"},
		{string(grader.Arithmetic), "Arithmetic: the calculation and its report"},
	}
}

func groupOf(f grader.Finding) string {
	if f.Stake != "" {
		return string(f.Stake)
	}
	return string(f.Part)
}

// numbered orders the findings by group, within it by what they cost, and numbers those that are charged; the others follow without a number.
func numbered(all []grader.Finding) []numberedFinding {
	var list []numberedFinding
	n := 0
	for _, g := range groups() {
		var own []grader.Finding
		for _, f := range all {
			if groupOf(f) == g.id && f.ChargedTo == "" {
				own = append(own, f)
			}
		}
		byCost(own)
		for _, f := range own {
			n++
			list = append(list, numberedFinding{f, n})
		}
	}
	for _, f := range all {
		if f.ChargedTo != "" {
			list = append(list, numberedFinding{f, 0})
		}
	}
	return list
}

// byCost sorts findings: first the rules one of which closes the gate, then by what all findings of the rule cost together. Those of one rule
// stay side by side, the costliest first.
func byCost(own []grader.Finding) {
	type cost struct {
		gate bool
		lost float64
	}
	of := map[string]cost{}
	for _, f := range own {
		c := of[f.Rule]
		of[f.Rule] = cost{c.gate || f.ClosesGate != "", c.lost + f.Lost}
	}
	first := func(a, b cost) int {
		switch {
		case a.gate != b.gate:
			if a.gate {
				return -1
			}
			return 1
		case a.lost != b.lost:
			return cmp.Compare(b.lost, a.lost)
		}
		return 0
	}
	slices.SortStableFunc(own, func(a, b grader.Finding) int {
		if a.Rule != b.Rule {
			return cmp.Or(first(of[a.Rule], of[b.Rule]), cmp.Compare(a.Rule, b.Rule))
		}
		return first(cost{a.ClosesGate != "", a.Lost}, cost{b.ClosesGate != "", b.Lost})
	})
}

func findings(r grader.Report, all []numberedFinding) []Block {
	if len(all) == 0 {
		return []Block{Say{Text: "None."}}
	}
	var blocks []Block
	told := map[string]int{} // the finding that gives a reason first
	for _, g := range groups() {
		group := Group{ID: g.id, Title: g.title}
		for _, f := range all {
			if f.Number > 0 && groupOf(f.Finding) == g.id {
				one := item(f)
				if same, ok := told[f.Rule+f.Why]; ok {
					one.Why, one.Sources = fmt.Sprintf("As for %d.", same), nil
				} else {
					told[f.Rule+f.Why] = f.Number
				}
				group.Items = append(group.Items, one)
			}
		}
		if len(group.Items) > 0 {
			blocks = append(blocks, group)
		}
	}
	var follows []string
	for _, f := range all {
		if f.Number == 0 {
			text := fmt.Sprintf("%s, %s: %s", f.Rule, f.Where, BoxWords(f.Did))
			if f.ClosesGate != "" {
				text += " It closes the gate: " + f.ClosesGate + "."
			}
			follows = append(follows, text)
		}
	}
	if len(follows) > 0 {
		blocks = append(blocks, Say{Text: "Follows from the above and costs nothing more:"}, Bullets{follows})
	}
	return blocks
}

func item(f numberedFinding) FindingItem {
	cost := Num(-f.Lost, 1) + " points"
	if f.Lost > 0 && f.Lost < 0.05 {
		cost = "less than 0.1 points"
	}
	if f.Lost == 0 {
		cost = "no points"
	}
	if f.ClosesGate != "" {
		cost += "; closes the gate: " + f.ClosesGate
	}
	return FindingItem{Number: f.Number, Part: capital(string(f.Part)), Where: f.Where, Rule: f.Rule, Cost: cost,
		Known: f.Known, Did: BoxWords(f.Did), Should: f.Should, Why: f.Why, Sources: f.Sources}
}

func points(r grader.Report) []Block {
	if r.Percent == nil {
		return nil
	}
	t := Table{Header: []string{"part", "reached", "in reach", "at most"}, Right: []bool{false, true, true, true}, Wrap: -1}
	for _, s := range r.Parts {
		t.Rows = append(t.Rows, []string{capital(string(s.Part)), Num(s.Earned, 1), Num(s.Reachable, 1), Num(s.Weight, 0)})
	}
	earned, reachable := totals(r)
	t.Rows = append(t.Rows, []string{"Together", Num(earned, 1), Num(reachable, 1), ""})
	return []Block{Grid{Caption: "In reach is what your path led past; what it never met is not held against you.", Table: t}}
}

func sheet(r grader.Report) []Block {
	if len(r.Sheet) == 0 {
		return []Block{Say{Text: "Nothing was written."}}
	}
	var s Sheet
	for _, e := range r.Sheet {
		name, unit := Box(e.Key)
		row := SheetRow{Number: e.Number, Clock: Clock(e.AtS), Box: name, Wrote: e.Text, Unit: unit, Struck: e.Struck}
		if Placed(e.Key) {
			row.Place = Place(e.Stage, e.Minute)
		}
		s.Rows = append(s.Rows, row)
	}
	return []Block{s}
}

// course is the picture of the course, when there was one to draw, and the time line.
func course(r grader.Report, all []numberedFinding) []Block {
	table := timeTable(r, all)
	if r.Record.PedalAtS == nil && len(r.Record.Pulses)+len(r.Record.Pressures) == 0 {
		return []Block{Say{Text: "Nobody pedalled and nothing was read, so there is nothing to draw."}, table}
	}
	return []Block{Drawn{courseOf(r, all)}, table}
}

func timeTable(r grader.Report, all []numberedFinding) Course {
	var c Course
	for _, m := range r.Timeline {
		text := m.Done
		if m.Seen != "" {
			if text != "" {
				text += ": "
			}
			text += m.Seen
		}
		row := CourseRow{Clock: Clock(m.AtS), Where: strings.TrimSuffix(m.Where, ", "+Clock(m.AtS)), Kind: string(m.Kind), Text: text}
		if m.Could != "" {
			row.Text = m.Could
			for _, f := range all {
				if f.AtS == m.AtS && m.Could == f.Rule+": "+f.Should {
					row.Finding, row.Text = f.Number, f.Should
				}
			}
		}
		c.Rows = append(c.Rows, row)
	}
	return c
}

func margins(r grader.Report) []Block {
	t := Table{Header: []string{"", "what", "value"}, Wrap: -1}
	row := func(name, what string, m grader.Margin) {
		value := "none (" + m.WhyNot + ")"
		if m.MlKgMin != nil {
			value = fmt.Sprintf("%s mL/kg/min (%s %%)", Signed(*m.MlKgMin, 2), Signed(*m.Percent, 1))
		}
		t.Rows = append(t.Rows, []string{name, what, value})
	}
	row("A", "your estimate against the worked answer on your sheet", r.Margins.A)
	row("M", "your readings against perfect readings of the same path", r.Margins.M)
	row("T", "your estimate against the truth (never graded; most of it is nobody's fault)", r.Margins.T)
	return append([]Block{Grid{Caption: "Three distances, never mixed: the first less the second.", Between: ": ", Table: t}}, split(r)...)
}

func truth(r grader.Report) []Block {
	if r.Truth == nil {
		return nil
	}
	t := r.Truth
	return []Block{
		Say{Text: t.Spoiler},
		Say{Text: "To learn here: " + t.Teaches},
		Say{Text: fmt.Sprintf("True VO2max %s mL/kg/min (%s L/min); true maximum heart rate %s bpm; resting %s bpm, %s/%s mmHg.",
			Num(t.VO2MaxRel, 1), Num(t.VO2MaxL, 2), Num(t.MaxHRbpm, 0), Num(t.RestingHRbpm, 0), Num(t.RestingSBP, 0), Num(t.RestingDBP, 0))},
		Say{Text: "The right act: " + rightAct(t.RightAct) + "."},
	}
}

// sources lists in full what findings and calculation cite.
func sources(r grader.Report) []Block {
	cited := map[string]bool{}
	for _, f := range r.Findings {
		for _, k := range f.Sources {
			cited[k] = true
		}
	}
	for _, k := range r.Worked.Sources {
		cited[k] = true
	}
	keys := make([]string, 0, len(cited))
	for k := range cited {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	t := Table{Header: []string{"key", "source", "how known"}, Wrap: -1}
	for _, k := range keys {
		title, known := "not on our page of sources", ""
		if s, ok := physiology.SourceOf(k); ok {
			title, known = strings.ReplaceAll(s.Title, "*", ""), s.Known
		}
		t.Rows = append(t.Rows, []string{k, title, known})
	}
	if len(keys) == 0 {
		return nil
	}
	return []Block{Grid{Caption: "What the findings and the calculation rest on. Seen: read in the source itself. Choice: ours, and the house can make another.", Between: "; ", Cited: true, Table: t}}
}

func practise(r grader.Report, all []numberedFinding) []Block {
	p := r.Practise
	if p == nil {
		return []Block{Say{Text: "Nothing was found. Another person is the best practice."}}
	}
	for _, f := range all {
		if f.Rule == p.Rule && f.AtS == p.AtS {
			what := fmt.Sprintf("Finding %d (%s, %s).", f.Number, f.Rule, f.Where)
			if f.Number == 0 {
				what = fmt.Sprintf("%s, %s.", f.Rule, f.Where)
			}
			return []Block{Say{Text: strings.Join([]string{what, BoxWords(f.Did), f.Should}, " ")}}
		}
	}
	return []Block{Say{Text: fmt.Sprintf("%s, %s.", p.Rule, p.Where)}}
}

// redoCommand goes on from the middle of an attempt, with the person and the rules of that attempt.
const redoCommand = "kilopond drill --redo"

func choices(r grader.Report) []Block {
	var c Choices
	switch {
	case r.Truth == nil || r.OfPack:
	case r.Practise != nil && r.Mode != "demo": // which is kept nowhere
		c.Items = append(c.Items, Choice{"This person again, from the minute before that, for practice only", redoCommand + " FILE"})
	default:
		c.Items = append(c.Items, Choice{"This person again, for practice only", fmt.Sprintf("kilopond drill %s --seed %d", r.Case, r.Seed)})
	}
	c.Items = append(c.Items, Choice{"A new person in the same case", "kilopond drill " + r.Case})
	skill := Choice{"A short skill that is due", "kilopond skill"}
	if r.Practise != nil {
		skill = Choice{"The one-minute skill for it", "kilopond skill " + r.Practise.Skill}
	}
	c.Items = append(c.Items, skill)
	blocks := []Block{c}
	if r.RulebookHash != grader.Default().Hash() {
		blocks = append(blocks, Say{Text: "This test had house rules of its own: add the same --rulebook or --set."})
	}
	return blocks
}

func rightAct(a scenarios.RightAct) string {
	return map[scenarios.RightAct]string{
		scenarios.RunToEnd: "run the test to its end", scenarios.DoNotTest: "no test today", scenarios.EndTest: "end the test in good order",
		scenarios.StopAtOnce: "stop at once", scenarios.VerifyThenGo: "measure again, then go on",
	}[a]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
