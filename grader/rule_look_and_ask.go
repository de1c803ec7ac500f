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
				if displaced(b, c, from, from+b.Stop.LookEveryS) || overtaken(b, c, from+b.Stop.LookEveryS) {
					continue
				}
				o := kept(from)
				to := from + b.Stop.LookEveryS + lookSlack
				if cuffOver(c, from+b.Stop.LookEveryS) {
					to = freeHands(c, from+b.Stop.LookEveryS)
				}
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

// displaced says whether a higher duty filled the span: an unexpected pressure and what followed from it.
func displaced(b Rulebook, c *Course, from, to int) bool {
	for _, f := range fallsOf(b, c) {
		if !f.repeated { // acted on at once, without a repeat: verify-pressure judges that
			if c.EndedAtS >= f.first.ToS && c.EndedAtS <= f.first.ToS+b.Stop.VerifyDoneS && f.first.FromS < to && c.EndedAtS > from {
				return true
			}
		} else if f.first.FromS < to && f.second.ToS > from {
			return true
		}
	}
	return false
}
