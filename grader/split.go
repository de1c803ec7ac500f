package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A Split is margin T taken apart: causes removed one after another in a fixed order, with work rates, stages and commands as they were. What
// the causes come to and the remainder make T, in mL/kg/min and in percent of the true VO2max, to the decimals shown.
type Split struct {
	Causes    []Contribution `json:"causes"`
	Remainder Contribution   `json:"remainder"`
}

// A Contribution is what a cause adds to the estimate; nil, with the reason, where it cannot be had. It is then in the remainder.
type Contribution struct {
	Cause   Cause    `json:"cause"`
	What    string   `json:"what"` // in one sentence
	MlKgMin *float64 `json:"ml_kg_min"`
	Percent *float64 `json:"percent"`            // of the true VO2max
	Then    *float64 `json:"estimate_ml_kg_min"` // when this and those before are removed; of the remainder, the true VO2max
	WhyNot  string   `json:"why_not,omitempty"`
}

// A Cause is a name without blanks, for those who sort.
type Cause string

const (
	CauseArithmetic Cause = "arithmetic"
	CauseMaximum    Cause = "predicted_maximum"
	CauseCounting   Cause = "counting"
	CauseUnsteady   Cause = "not_quite_steady"
	CauseOxygenCost Cause = "oxygen_cost"
	CauseBend       Cause = "bend"
	CauseRemainder  Cause = "remainder"
)

// Causes are in the order in which they are removed.
func Causes() []Cause {
	return []Cause{CauseArithmetic, CauseMaximum, CauseCounting, CauseUnsteady, CauseOxygenCost, CauseBend}
}

// A worth is the estimate when a cause is removed.
type worth struct {
	what   string
	rel    unit.RelVO2
	whyNot string
}

// WithSplit is the report with its T taken apart; without a T it has no split. played is the attempt played again on its subject, nil when that
// could not be done: then the causes that lie in the body have no number.
func (r Report) WithSplit(b Rulebook, c *Course, played *exercises.Session) Report {
	if r.Margins.T.MlKgMin == nil {
		return r
	}
	truth := c.Closing.Truth.VO2MaxRel
	s := Split{}
	left, leftPercent := *r.Margins.T.MlKgMin, *r.Margins.T.Percent
	before := worth{rel: unit.RelVO2(*r.Student.VO2Rel)}
	for i, w := range removed(b, c, r.Worked, played) {
		one := Contribution{Cause: Causes()[i], What: w.what}
		switch {
		case w.whyNot != "":
			one.WhyNot = w.whyNot
		case before.whyNot != "":
			one.WhyNot = "there is no estimate before it to compare with"
		default:
			one.MlKgMin = decimal(float64(before.rel-w.rel), 2)
			one.Percent = decimal(100*float64(before.rel-w.rel)/truth, 1)
			left, leftPercent = left-*one.MlKgMin, leftPercent-*one.Percent
		}
		if w.whyNot == "" {
			one.Then = decimal(float64(w.rel), 2)
		}
		s.Causes = append(s.Causes, one)
		before = w
	}
	s.Remainder = Contribution{Cause: CauseRemainder, What: remainderWords(s.Causes, r.Worked.Estimable && r.Worked.Slope == 0), MlKgMin: decimal(left, 2), Percent: decimal(leftPercent, 1), Then: decimal(truth, 2)}
	r.Split = &s
	return r
}

// decimal never is a negative zero.
func decimal(x float64, decimals int) *float64 {
	x = unit.Round(x, decimals) + 0
	return &x
}

// removed are the estimates with one cause after another removed, in the order of Causes.
func removed(b Rulebook, c *Course, worked protocol.Answer, played *exercises.Session) []worth {
	t := taking{book: b, person: c.person(), max: worked.MaxHR, cost: bookCost(b, c.person())}
	for _, p := range worked.Points {
		if p.Used {
			t.points = append(t.points, p)
		}
	}
	sheet := worth{what: "What your sums changed: your estimate less the worked answer on your own sheet. This is margin A.", rel: worked.VO2Rel}
	if !worked.Estimable {
		why := whyNot(worked, "on this sheet it cannot be estimated")
		all := []worth{{what: sheet.what, whyNot: why}}
		for range Causes()[1:] {
			all = append(all, worth{what: "Your sheet gives no line from which this could be told.", whyNot: "the sheet gives no estimate"})
		}
		return all
	}
	all := []worth{sheet}
	all = append(all, t.ownMaximum(unit.HR(c.Closing.Truth.MaxHRbpm)))
	rates, whyNot := ratesOf(b, c, t.points, played)
	all = append(all, t.perfectly(rates, whyNot))
	if played == nil {
		whyNot = unplayed(c)
	}
	all = append(all, t.steadily(rates, whyNot))
	var traits *body.Traits
	if played != nil {
		own := played.Subject().Traits
		traits = &own
	}
	all = append(all, t.ownCost(traits, whyNot))
	return append(all, t.straight(rates, traits, whyNot))
}
