package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A taking is the calculation with what has been exchanged in it so far.
type taking struct {
	book   Rulebook
	person protocol.Person
	points []protocol.Point // those of the worked answer
	max    unit.HR
	cost   func(unit.WorkRate) unit.VO2
}

// bookCost is the rulebook's oxygen cost.
func bookCost(b Rulebook, p protocol.Person) func(unit.WorkRate) unit.VO2 {
	return func(w unit.WorkRate) unit.VO2 { return b.O2Cost.VO2(w, p.Mass) }
}

// now is the estimate as it stands.
func (t *taking) now(what string) worth {
	rel, _, err := protocol.Carry(t.book.Rules, t.person, t.points, t.max, t.cost)
	if err != nil {
		return worth{what: what, whyNot: err.Error()}
	}
	return worth{what: what, rel: rel}
}

// put exchanges the heart rates of the points.
func (t *taking) put(rates []unit.HR) {
	points := append([]protocol.Point{}, t.points...)
	for i := range points {
		points[i].HR = rates[i]
	}
	t.points = points
}

func (t *taking) rates() []unit.HR {
	var all []unit.HR
	for _, p := range t.points {
		all = append(all, p.HR)
	}
	return all
}

func (t *taking) ownMaximum(own unit.HR) worth {
	read := "The line was read at"
	if len(t.points) == 1 {
		read = "The single-stage value was worked to"
	}
	what := fmt.Sprintf("%s the predicted maximum of %s bpm; this person's own is %s bpm.", read, bpm(t.max), bpm(own))
	t.max = own
	return t.now(what)
}

// perfectly puts the perfect readings in the place of the counted ones.
func (t *taking) perfectly(rates []exercises.Rates, whyNot string) worth {
	if whyNot != "" {
		return worth{what: "Your stage heart rates against perfect readings at the same minute marks.", whyNot: whyNot}
	}
	what := fmt.Sprintf("You had %s; perfect readings at the same minute marks give %s.", several(t.rates()), several(each(rates, func(r exercises.Rates) unit.HR { return r.Perfect })))
	t.put(each(rates, func(r exercises.Rates) unit.HR { return r.Perfect }))
	return t.now(what)
}

func (t *taking) steadily(rates []exercises.Rates, whyNot string) worth {
	if whyNot != "" {
		return worth{what: "How far the heart rate still was from its level in those minutes.", whyNot: whyNot}
	}
	settled := each(rates, func(r exercises.Rates) unit.HR { return r.Settled })
	what := fmt.Sprintf("In those minutes the heart stood at %s; its level for the work was %s.", several(t.rates()), several(settled))
	t.put(settled)
	return t.now(what)
}

// ownCost puts the person's own cost in the place of the published one: at rest, of turning the legs, and of each watt.
func (t *taking) ownCost(own *body.Traits, whyNot string) worth {
	if own == nil {
		return worth{what: "The published oxygen cost of the work against what it costs this person.", whyNot: whyNot}
	}
	none, watt := t.cost(0), t.cost(unit.Watt)-t.cost(0)
	what := fmt.Sprintf("The published equation takes %.1f mL/min for a watt and %.1f mL/kg/min without load; this person needs %.1f and %.1f.",
		float64(watt), float64(none.Per(t.person.Mass)), own.O2Cost, float64((own.VO2Rest + own.UnloadedCost).Per(own.Mass)))
	t.cost = func(w unit.WorkRate) unit.VO2 {
		return own.VO2Rest + own.UnloadedCost + unit.VO2(float64(own.O2Cost*w.Watts()))
	}
	return t.now(what)
}

func (t *taking) straight(rates []exercises.Rates, own *body.Traits, whyNot string) worth {
	if own == nil || whyNot != "" {
		return worth{what: "Heart rate does not rise quite evenly with the work.", whyNot: whyNot}
	}
	even := each(rates, func(r exercises.Rates) unit.HR { return r.Straight })
	what := fmt.Sprintf("The levels do not rise quite evenly with the work: if they did, they would stand at %s, not at %s.", several(even), several(t.rates()))
	t.put(even)
	return t.now(what)
}

// ratesOf are the true rates of each point, in the minutes that stand for it on the sheet. Without the attempt played again there are only the
// perfect ones.
func ratesOf(b Rulebook, c *Course, points []protocol.Point, played *exercises.Session) (all []exercises.Rates, whyNot string) {
	for _, p := range points {
		var perfect, settled, straight []unit.HR
		for _, s := range c.Stages {
			if s.Number != p.Stage {
				continue
			}
			for _, m := range sheetReadings(b, c, s) {
				r, ok := ratesAt(c, s, m.Minute, played)
				if !ok {
					return nil, fmt.Sprintf("there is no perfect reading of stage %d, minute %d", s.Number, m.Minute)
				}
				perfect, settled, straight = append(perfect, r.Perfect), append(settled, r.Settled), append(straight, r.Straight)
			}
		}
		if len(perfect) == 0 {
			return nil, fmt.Sprintf("there is no perfect reading of stage %d", p.Stage)
		}
		all = append(all, exercises.Rates{
			Perfect: protocol.StageHR(b.StageHR, perfect), Settled: protocol.StageHR(b.StageHR, settled), Straight: protocol.StageHR(b.StageHR, straight)})
	}
	return all, ""
}

func ratesAt(c *Course, s StageRun, minute int, played *exercises.Session) (exercises.Rates, bool) {
	if played != nil {
		return played.RatesTo(min(s.FromS+60*minute, s.ToS))
	}
	for _, m := range c.Closing.Minutes {
		if m.Stage == s.Number && m.Minute == minute {
			return exercises.Rates{Perfect: unit.HR(m.HRbpm)}, true
		}
	}
	return exercises.Rates{}, false
}

// unplayed says why the body could not be asked.
func unplayed(c *Course) string {
	if c.Header.Model != scenarios.Model {
		return fmt.Sprintf("begun with model %d; this program has %d, whose people differ, so the test cannot be played again", c.Header.Model, scenarios.Model)
	}
	return "the case is not here as it was, so the test cannot be played again"
}

// remainderWords say what is left, and what else lies in it.
func remainderWords(causes []Contribution, single bool) string {
	what := "What is left: the day (nerves, a heart that is faster or slower than usual), slow creep with time, cadence, brake or body mass off the mark, and what is wrong in the body."
	if single {
		what = strings.TrimSuffix(what, ".") + "; of a single-stage value, its equation too."
	}
	for _, c := range causes {
		if c.MlKgMin == nil {
			return what + " Causes without a number are in it too."
		}
	}
	return what
}

func each(rates []exercises.Rates, of func(exercises.Rates) unit.HR) []unit.HR {
	var all []unit.HR
	for _, r := range rates {
		all = append(all, of(r))
	}
	return all
}

func bpm(hr unit.HR) string { return plainNumber(unit.Round(float64(hr), 1)) }

// several writes heart rates as they are read: "121 and 139.5 bpm".
func several(rates []unit.HR) string {
	var all []string
	for _, hr := range rates {
		all = append(all, bpm(hr))
	}
	if n := len(all); n > 1 {
		all = []string{strings.Join(all[:n-1], ", "), all[n-1]}
	}
	return strings.Join(all, " and ") + " bpm"
}
