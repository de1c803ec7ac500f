package grader

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A sum is one number of the calculation: what the student wrote, and what is right on the student's own numbers before it.
type sum struct {
	key    exercises.Key
	wrote  *float64
	right  float64
	how    string // the right number worked, so that it can be checked
	credit float64
	slip   *Slip
}

// A guess is a known slip worked on the student's own numbers.
type guess struct {
	name  string
	value float64
	how   string
}

// slipCredit is what a right calculation with one known slip keeps. Source: [CHOICE-TOLERANCES].
const slipCredit = 0.5

// settle marks a sum: right within tolerance, else a known slip, else partial credit by distance. percent says that the tolerance is of the right number.
func (s *sum) settle(t Tolerance, percent bool, guesses []guess) {
	if s.wrote == nil {
		return
	}
	off := func(right float64) float64 {
		if percent {
			return 100 * math.Abs(*s.wrote-right) / math.Abs(right)
		}
		return math.Abs(*s.wrote - right)
	}
	s.credit = t.Credit(off(s.right))
	if off(s.right) <= t.Full {
		return
	}
	for _, g := range guesses {
		if g.value > 0 && off(g.value) <= t.Full {
			s.slip = &Slip{Item: string(s.key), Wrote: plainNumber(*s.wrote), Right: s.how, Name: g.name, How: g.how}
			s.credit = slipCredit
			return
		}
	}
}

func plainNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// sums works every number of the calculation that the student's path reaches, each on the student's own numbers before it.
func sums(b Rulebook, c *Course) map[exercises.Key]sum {
	if c.sums != nil {
		return c.sums
	}
	all := map[exercises.Key]sum{}
	add := func(s sum) { all[s.key] = s }
	st := studentEstimate(c)
	p := c.person()
	maxHR, _ := protocol.PredictedMaxHR(b.MaxHR, p.Sex, p.Age)
	if begun(c) || st.MaxHR != nil {
		add(maxHRSum(b, p, st, maxHR))
		if st.MaxHR != nil {
			maxHR = unit.HR(*st.MaxHR)
		}
		add(ceilingSum(b, p, st, maxHR))
		add(ceilingCountSum(b, c, p, st, maxHR))
	}
	worked := WorkSheet(b, c)
	if !begun(c) || !worked.Estimable {
		return all
	}
	if worked.Slope > 0 {
		add(workRateSum(b, c, st, worked, maxHR))
	}
	add(relSum(b, p, st, worked, maxHR))
	rel := float64(worked.VO2Rel)
	if st.VO2Rel != nil {
		rel = *st.VO2Rel
	}
	add(absSum(b, p, st, rel))
	add(metsSum(b, st, rel))
	return all
}

func maxHRSum(b Rulebook, p protocol.Person, st StudentEstimate, right unit.HR) sum {
	s := sum{key: exercises.KeyMaxHR, wrote: st.MaxHR, right: float64(right), how: fmt.Sprintf("%s at age %.0f is %s", b.MaxHR, p.Age, plainNumber(float64(right)))}
	var guesses []guess
	for _, eq := range protocol.MaxHREquations() {
		if v, err := protocol.PredictedMaxHR(eq, p.Sex, p.Age); err == nil && eq != b.MaxHR {
			guesses = append(guesses, guess{"another equation for the maximum", float64(v), fmt.Sprintf("%s gives %s", eq, plainNumber(unit.Round(float64(v), 1)))})
		}
	}
	s.settle(b.Tolerances.StageHR, false, guesses)
	return s
}

func ceilingSum(b Rulebook, p protocol.Person, st StudentEstimate, maxHR unit.HR) sum {
	right := protocol.Ceiling(b.Rules, maxHR, p.RestHR)
	s := sum{key: exercises.KeyCeiling, wrote: st.Ceiling, right: float64(right), how: fmt.Sprintf("on your maximum of %s it is %s", plainNumber(float64(maxHR)), plainNumber(unit.Round(float64(right), 2)))}
	s.settle(b.Tolerances.Ceiling, false, []guess{
		{"the maximum itself, not the part of it that ends the test", float64(maxHR), plainNumber(float64(maxHR))},
		{"80 % instead of 85 %", 0.80 * float64(maxHR), fmt.Sprintf("0.80 × %s", plainNumber(float64(maxHR)))},
	})
	return s
}

func ceilingCountSum(b Rulebook, c *Course, p protocol.Person, st StudentEstimate, maxHR unit.HR) sum {
	ceiling := float64(protocol.Ceiling(b.Rules, maxHR, p.RestHR))
	if st.Ceiling != nil {
		ceiling = *st.Ceiling
	}
	var wrote *float64
	if x, ok := c.number(exercises.KeyCeilingCount); ok {
		wrote = &x
	}
	per := float64(b.Count.Seconds) / 60
	right := ceiling * per
	s := sum{key: exercises.KeyCeilingCount, wrote: wrote, right: right, how: fmt.Sprintf("%s × %d / 60 = %s beats", plainNumber(ceiling), b.Count.Seconds, plainNumber(unit.Round(right, 2)))}
	s.settle(Tolerance{1, 2}, false, []guess{
		{"the count of another length", ceiling / 6, fmt.Sprintf("%s / 6, a count of 10 s", plainNumber(ceiling))},
		{"the count of another length", ceiling / 2, fmt.Sprintf("%s / 2, a count of 30 s", plainNumber(ceiling))},
	})
	return s
}

// chosenPoints are the stages that the student named, as they stand on the sheet; those of the worked answer when none are named.
func chosenPoints(b Rulebook, c *Course, st StudentEstimate, worked protocol.Answer) (work []unit.WorkRate, hr []unit.HR) {
	named := map[int]bool{}
	for _, f := range strings.Fields(st.Points) {
		if n, err := strconv.Atoi(f); err == nil {
			named[n] = true
		}
	}
	for _, pt := range worked.Points {
		if pt.HR > 0 && (named[pt.Stage] || len(named) == 0 && pt.Used) {
			work, hr = append(work, pt.WorkRate), append(hr, pt.HR)
		}
	}
	return work, hr
}

func workRateSum(b Rulebook, c *Course, st StudentEstimate, worked protocol.Answer, maxHR unit.HR) sum {
	s := sum{key: exercises.KeyMaxWorkRate, wrote: st.MaxWorkRate, right: float64(worked.MaxWorkRate)}
	work, hr := chosenPoints(b, c, st, worked)
	if w, err := protocol.WorkRateAt(b.Fit, work, hr, maxHR); err == nil {
		s.right = float64(w)
	}
	s.how = fmt.Sprintf("on your points and your maximum of %s: %.1f kg·m/min", plainNumber(float64(maxHR)), s.right)
	var guesses []guess
	try := func(name string, f protocol.Fit, work []unit.WorkRate, hr []unit.HR, at unit.HR, how string) {
		if w, err := protocol.WorkRateAt(f, work, hr, at); err == nil {
			guesses = append(guesses, guess{name, float64(w), fmt.Sprintf("%s: %.1f kg·m/min", how, w)})
		}
	}
	ceiling := protocol.Ceiling(b.Rules, maxHR, c.person().RestHR)
	try("the line read at the ceiling instead of the maximum", b.Fit, work, hr, ceiling, fmt.Sprintf("read at %s bpm", plainNumber(unit.Round(float64(ceiling), 2))))
	var allWork []unit.WorkRate
	var allHR []unit.HR
	for _, pt := range worked.Points {
		if pt.HR > 0 {
			allWork, allHR = append(allWork, pt.WorkRate), append(allHR, pt.HR)
		}
	}
	if n := len(allWork); n > 2 {
		try("a stage outside the window was used as a point", b.Fit, []unit.WorkRate{allWork[0], allWork[n-1]}, []unit.HR{allHR[0], allHR[n-1]}, maxHR, "through the first and the last stage")
		try("least squares through every stage, also those outside the window", protocol.FitOLS, allWork, allHR, maxHR, "through all stages")
		try("the first two stages instead of the last two", b.Fit, allWork[:2], allHR[:2], maxHR, "through the first two stages")
	}
	try("work rate fitted on heart rate", protocol.FitOLSWorkOnHR, work, hr, maxHR, "with the axes changed over")
	guesses = append(guesses, guess{"watts instead of kg·m/min", s.right / b.KgmMinPerWatt, fmt.Sprintf("%.1f / %s", s.right, plainNumber(b.KgmMinPerWatt))})
	s.settle(b.Tolerances.WorkRate, true, guesses)
	return s
}

// oneStageSum is the value from the only usable stage, on the student's own maximum.
func oneStageSum(b Rulebook, p protocol.Person, st StudentEstimate, pt protocol.Point, maxHR unit.HR) sum {
	m := float64(p.Mass)
	vo2 := float64(b.O2Cost.VO2(pt.WorkRate, p.Mass)) / m
	c := protocol.SingleStageConstant(p.Sex)
	s := sum{key: exercises.KeyVO2Rel, wrote: st.VO2Rel, right: protocol.SingleStage(p.Sex, vo2, pt.HR, maxHR)}
	with := func(vo2 float64, c unit.HR) (float64, string) {
		return vo2 * float64(maxHR-c) / float64(pt.HR-c), fmt.Sprintf("%.2f × (%s − %s) / (%s − %s)", vo2, plainNumber(float64(maxHR)), plainNumber(float64(c)), plainNumber(float64(pt.HR)), plainNumber(float64(c)))
	}
	_, how := with(vo2, c)
	s.how = fmt.Sprintf("only stage %d can be used, at %.2f mL/kg/min: %s = %.2f mL/kg/min", pt.Stage, vo2, how, s.right)
	other := protocol.SingleStageConstant(unit.Male) + protocol.SingleStageConstant(unit.Female) - c
	guesses := []guess{{"the oxygen uptake of the stage itself", vo2, fmt.Sprintf("%.2f mL/kg/min at %s kg·m/min", vo2, plainNumber(float64(pt.WorkRate)))}}
	slip := func(name string, vo2 float64, c unit.HR) {
		x, how := with(vo2, c)
		guesses = append(guesses, guess{name, x, how})
	}
	slip("the constant of the other sex", vo2, other)
	slip("no constant taken off", vo2, 0)
	if b.O2Cost == protocol.LegCost {
		slip("the resting 7 left out", vo2-7, c)
	}
	s.settle(b.Tolerances.VO2, true, guesses)
	return s
}

func relSum(b Rulebook, p protocol.Person, st StudentEstimate, worked protocol.Answer, maxHR unit.HR) sum {
	if worked.Slope <= 0 {
		for _, pt := range worked.Points {
			if pt.Used {
				return oneStageSum(b, p, st, pt, maxHR)
			}
		}
	}
	s := sum{key: exercises.KeyVO2Rel, wrote: st.VO2Rel, right: float64(worked.VO2Rel)}
	w, m := float64(worked.MaxWorkRate), float64(p.Mass)
	if st.MaxWorkRate != nil {
		w = *st.MaxWorkRate
	}
	rel := func(w, m float64) float64 { return float64(b.O2Cost.VO2(unit.WorkRate(w), unit.Mass(m))) / m }
	s.right = rel(w, m)
	s.how = fmt.Sprintf("on your %s kg·m/min and %s kg: %.2f mL/kg/min", plainNumber(unit.Round(w, 1)), plainNumber(m), s.right)
	guesses := []guess{
		{"body mass in pounds", rel(w, m*2.2046), fmt.Sprintf("%s kg is %.1f lb", plainNumber(m), m*2.2046)},
		{"watts put into the equation for kg·m/min", rel(w/b.KgmMinPerWatt, m), fmt.Sprintf("%.1f W in place of %s kg·m/min", w/b.KgmMinPerWatt, plainNumber(w))},
		{"the other unit of work put into the equation", rel(w*b.KgmMinPerWatt, m), fmt.Sprintf("%s × %s", plainNumber(w), plainNumber(b.KgmMinPerWatt))},
	}
	if b.O2Cost == protocol.LegCost {
		part := 1.8 * w / m
		guesses = append(guesses,
			guess{"the resting 7 left out", part, fmt.Sprintf("1.8 × %s / %s", plainNumber(w), plainNumber(m))},
			guess{"only 3.5 added instead of 7", part + 3.5, fmt.Sprintf("1.8 × %s / %s + 3.5", plainNumber(w), plainNumber(m))},
			guess{"7 added twice", part + 14, fmt.Sprintf("1.8 × %s / %s + 14", plainNumber(w), plainNumber(m))},
		)
	}
	for _, cost := range protocol.O2Costs() {
		if cost != b.O2Cost {
			v := float64(cost.VO2(unit.WorkRate(w), p.Mass)) / m
			guesses = append(guesses, guess{"another equation for the oxygen cost", v, fmt.Sprintf("%s gives %.2f", cost, v)})
		}
	}
	s.settle(b.Tolerances.VO2, true, guesses)
	return s
}

func absSum(b Rulebook, p protocol.Person, st StudentEstimate, rel float64) sum {
	m := float64(p.Mass)
	right := rel * m / 1000
	s := sum{key: exercises.KeyVO2Abs, wrote: st.VO2Abs, right: right, how: fmt.Sprintf("%s × %s / 1000 = %.2f L/min", plainNumber(unit.Round(rel, 2)), plainNumber(m), right)}
	s.settle(b.Tolerances.VO2, true, []guess{
		{"millilitres not turned into litres", rel * m, fmt.Sprintf("%s × %s", plainNumber(rel), plainNumber(m))},
		{"body mass in pounds", right * 2.2046, fmt.Sprintf("%s kg is %.1f lb", plainNumber(m), m*2.2046)},
	})
	return s
}

func metsSum(b Rulebook, st StudentEstimate, rel float64) sum {
	right := rel / float64(protocol.OneMET)
	s := sum{key: exercises.KeyMETs, wrote: st.METs, right: right, how: fmt.Sprintf("%s / 3.5 = %.1f", plainNumber(unit.Round(rel, 2)), right)}
	guesses := []guess{{"multiplied by 3.5 instead of divided", rel * 3.5, fmt.Sprintf("%s × 3.5", plainNumber(rel))}}
	if st.VO2Abs != nil {
		guesses = append(guesses, guess{"worked from litres a minute instead of mL/kg/min", *st.VO2Abs / 3.5, fmt.Sprintf("%s / 3.5", plainNumber(*st.VO2Abs))})
	}
	s.settle(b.Tolerances.VO2, true, guesses)
	return s
}

// multiplication is the sum from a written count to a written rate.
func multiplication(b Rulebook, k Count) sum {
	wrote := float64(*k.WroteHR)
	beats, seconds := float64(*k.WroteBeats), float64(k.Seconds)
	right := beats * 60 / seconds
	s := sum{key: exercises.KeyHR, wrote: &wrote, right: right, how: fmt.Sprintf("%d × 60 / %d is %s bpm", *k.WroteBeats, k.Seconds, plainNumber(unit.Round(right, 1)))}
	var guesses []guess
	for _, other := range []int{10, 15, 30} {
		if other != k.Seconds {
			guesses = append(guesses, guess{fmt.Sprintf("multiplied by the factor of a %d-s count", other), beats * 60 / float64(other), fmt.Sprintf("%d × %d", *k.WroteBeats, 60/other)})
		}
	}
	guesses = append(guesses,
		guess{"one beat too many: the beat at the start is zero", (beats + 1) * 60 / seconds, fmt.Sprintf("%d × 60 / %d", *k.WroteBeats+1, k.Seconds)},
		guess{"the count itself, not multiplied", beats, fmt.Sprint(*k.WroteBeats)},
	)
	s.settle(b.Tolerances.StageHR, false, guesses)
	return s
}

// slips are the known slips in the order of the calculation: the same slip made in several counts is named once.
func slips(b Rulebook, c *Course) []Slip {
	all := sums(b, c)
	named := map[string]bool{}
	var found []Slip
	for _, k := range c.Counts {
		if k.WroteBeats == nil || k.WroteHR == nil || k.Timed || k.Seconds == 0 || k.CutShort {
			continue
		}
		if s := multiplication(b, k); s.slip != nil && !named[s.slip.Name] {
			named[s.slip.Name] = true
			found = append(found, *s.slip)
		}
	}
	for _, key := range exercises.Keys() {
		if s, ok := all[key]; ok && s.slip != nil {
			found = append(found, *s.slip)
		}
	}
	return found
}
