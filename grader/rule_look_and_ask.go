package grader

import "fmt"

var ruleLookAndAsk = Rule{
	Name:    "look-and-ask",
	Part:    Safety,
	Asks:    "In each minute of work look at the person once and ask once how they feel.",
	Why:     "Colour, breath and grip change before a number does, and many people say nothing until they are asked. A minute is about as long as one can afford not to know.",
	Sources: []string{"NHANES-CVX", "CHOICE-LOOK"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var list []Opportunity
		missed := 0
		first := -1
		asked := askedAt(c, "symptoms")
		for _, s := range c.Stages {
			for from := s.FromS; from+b.Stop.LookEveryS <= s.ToS; from += b.Stop.LookEveryS {
				if cuffFills(c, from, from+b.Stop.LookEveryS) || displaced(b, c, from, from+b.Stop.LookEveryS) || overtaken(b, c, from+b.Stop.LookEveryS) {
					continue
				}
				o := kept(from)
				to := max(from+b.Stop.LookEveryS+lookSlack, freeHands(c, from+b.Stop.LookEveryS))
				to = min(to, s.ToS) // a look after the load is off is one of the recovery
				// A little to either side of the minute counts: hands are full at the mark. Source: [CHOICE-LOOK].
				if !within(c.Looks, from-lookSlack, to) {
					o.Credit -= 0.5
				}
				if !within(asked, from-lookSlack, to) {
					o.Credit -= 0.5
				}
				if o.Credit < 1 {
					missed++
					if first < 0 {
						first = len(list)
					}
				}
				list = append(list, o)
			}
		}
		if first >= 0 {
			o := &list[first]
			o.Finding = &Finding{Known: "A look and a question are due in each minute of work.",
				Did:    fmt.Sprintf("In %d of %d minutes one of the two is missing, first at %s.", missed, len(list), where(c, o.AtS)),
				Should: "Look at the face, then ask how the person feels, each minute."}
		}
		return list
	},
}

// cuffFills says whether one pressure, as long as they are from a high systolic, left less of a minute than a look and a question take.
func cuffFills(c *Course, from, to int) bool {
	for _, k := range c.Cuffs {
		if min(to, k.ToS)-max(from, k.FromS) > to-from-lookS-askS {
			return true
		}
	}
	return false
}

// lookSlack is how many seconds outside its minute a look still counts. Source: [CHOICE-LOOK].
const lookSlack = 15

// within says whether one of the seconds lies in [from, to].
func within(seconds []int, from, to int) bool {
	for _, s := range seconds {
		if s >= from && s <= to {
			return true
		}
	}
	return false
}

// displaced says whether a higher duty filled the span: a doubtful pressure or pulse and what followed from it.
func displaced(b Rulebook, c *Course, from, to int) bool {
	return displacedBy(b, c, from, to) != ""
}

// displacedBy is the cause that filled the span; "" when none did.
func displacedBy(b Rulebook, c *Course, from, to int) string {
	filled := func(begun, known int, repeated bool, done int) bool {
		if repeated {
			return begun < to && done > from
		}
		// Acted on at once, without a second look: the verifying rule judges that.
		return c.EndedAtS >= known && c.EndedAtS <= known+b.Stop.VerifyDoneS && begun < to && c.EndedAtS > from
	}
	for _, f := range fallsOf(b, c) {
		if filled(f.first.FromS, f.first.KnownS, f.repeated, f.second.KnownS) {
			return pressureFell
		}
	}
	for _, d := range pulseDoubts(b, c) {
		if filled(d.first.FromS, d.first.KnownS, d.repeated, d.second.KnownS) {
			return d.cause
		}
	}
	return ""
}
