package grader

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// arithmeticPoints is the worth of the rules of the calculation. Source: [CHOICE-POINTS].
func arithmeticPoints() map[string]float64 {
	return map[string]float64{
		"sum-max-hr": 1, "sum-ceiling": 2, "sum-ceiling-count": 1, "sum-heart-rates": 2, "sum-points": 3, "sum-work-rate": 4,
		"sum-vo2-rel": 3, "sum-vo2-abs": 2, "sum-mets": 1, "sum-rating": 1, "sum-error-range": 2, "sum-no-estimate": 5,
	}
}

// arithmeticRules judge the calculation and the report, each number on the student's own numbers before it.
func arithmeticRules() []Rule {
	return []Rule{
		ruleNoEstimate, // first: where nothing was calculated for it, it alone is charged
		numberRule("sum-max-hr", exercises.KeyMaxHR, "Work out the predicted maximum heart rate.", "Everything after it rests on this number: the ceiling, and where the line is read.", "FOX1971"),
		numberRule("sum-ceiling", exercises.KeyCeiling, "Work out the ceiling from the predicted maximum.", "The ceiling ends the test. It is needed before the first pedal turn.", "CSEP2009"),
		numberRule("sum-ceiling-count", exercises.KeyCeilingCount, "Turn the ceiling into a count of beats in the house's counting time.", "In the test there is no time to multiply: the count itself must say that the ceiling is reached.", "PHRE1033"),
		ruleHeartRates, rulePoints,
		numberRule("sum-work-rate", exercises.KeyMaxWorkRate, "Read the line at the predicted maximum heart rate.", "The work rate there stands for the most that the person could do.", "CSEP2009"),
		numberRule("sum-vo2-rel", exercises.KeyVO2Rel, "Turn that work rate into oxygen uptake by the house's equation.", "The equation counts the work, the turning of the legs and the rest; leaving one out is a large error.", "BUSHMAN2020"),
		numberRule("sum-vo2-abs", exercises.KeyVO2Abs, "Give VO2max also in litres a minute.", "Litres are what the heart delivers; per kilogram is what it means for moving the body.", "FORMSHEET"),
		numberRule("sum-mets", exercises.KeyMETs, "Give VO2max also in METs.", "Exercise is prescribed in METs.", "FORMSHEET"),
		ruleRating, ruleErrorRange,
	}
}

// numberRule judges one number of the calculation.
func numberRule(name string, key exercises.Key, asks, why, source string) Rule {
	return Rule{Name: name, Part: Arithmetic, Asks: asks, Why: why, Sources: []string{source}, Judge: func(b Rulebook, c *Course) []Opportunity {
		if !calculated(c) && !c.State.Closed {
			return nil
		}
		s, ok := sums(b, c)[key]
		if !ok {
			return nil
		}
		at := wroteAt(c, key)
		switch {
		case s.wrote == nil:
			return []Opportunity{broken(at, 0, blankCause(c, key), "The numbers for it stood on your sheet.", fmt.Sprintf("The box %s is empty.", key), capital(s.how)+".")}
		case s.slip != nil:
			return []Opportunity{broken(at, s.credit, "", fmt.Sprintf("You wrote %s.", s.slip.Wrote), fmt.Sprintf("It fits a known slip: %s (%s).", s.slip.Name, s.slip.How), capital(s.how)+".")}
		case s.credit < 1:
			return []Opportunity{broken(at, s.credit, "", fmt.Sprintf("You wrote %s.", plainNumber(*s.wrote)), "The working gives another number.", capital(s.how)+".")}
		}
		return []Opportunity{kept(at)}
	}}
}

// blankCause is why a box is empty: the three that belong on the sheet before the start were left out there already.
func blankCause(c *Course, key exercises.Key) string {
	if key == exercises.KeyMaxHR || key == exercises.KeyCeiling || key == exercises.KeyCeilingCount {
		return "ceiling beforehand"
	}
	return left(c)
}

// calculated says whether anything of the calculation was written.
func calculated(c *Course) bool {
	for _, key := range []exercises.Key{exercises.KeyMaxWorkRate, exercises.KeyVO2Rel, exercises.KeyVO2Abs, exercises.KeyNoEstimate} {
		if len(written(c, key)) > 0 {
			return true
		}
	}
	return false
}

func wroteAt(c *Course, key exercises.Key) int {
	if list := written(c, key); len(list) > 0 {
		return list[len(list)-1].AtS
	}
	return lastSecond(c)
}

// left is the cause of boxes left empty because the whole calculation was given up; "" when it was not.
func left(c *Course) string {
	st := studentEstimate(c)
	if st.NoEstimate != "" && st.VO2Rel == nil && st.VO2Abs == nil {
		return "no estimate"
	}
	return ""
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

var ruleHeartRates = Rule{
	Name: "sum-heart-rates", Part: Arithmetic, Asks: "Multiply each count to beats a minute.",
	Why:     "A 15-s count is multiplied by 4, a 10-s count by 6, a 30-s count by 2. One wrong factor moves the whole line.",
	Sources: []string{"SHEET-COUNTS"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		var all []Opportunity
		for _, k := range c.Counts {
			if k.WroteBeats == nil || k.WroteHR == nil || k.Timed || k.Seconds == 0 || k.CutShort {
				continue
			}
			m := multiplication(b, k)
			switch {
			case m.slip != nil:
				all = append(all, broken(k.ToS, m.credit, "", fmt.Sprintf("You counted %d beats in %d s.", *k.WroteBeats, k.Seconds),
					fmt.Sprintf("You wrote %s bpm. It fits a known slip: %s (%s).", m.slip.Wrote, m.slip.Name, m.slip.How), capital(m.how)+"."))
				continue
			case m.credit < 1:
				all = append(all, broken(k.ToS, m.credit, "", fmt.Sprintf("You counted %d beats in %d s.", *k.WroteBeats, k.Seconds),
					fmt.Sprintf("You wrote %s bpm.", plainNumber(*m.wrote)), capital(m.how)+"."))
				continue
			}
			all = append(all, kept(k.ToS))
		}
		return all
	},
}

var rulePoints = Rule{
	Name: "sum-points", Part: Arithmetic, Asks: "Name the stages that the line goes through: steady, within the window, as many as the house's fit takes.",
	Why:     "A stage that was not steady lies too low, one below the window is moved by nerves and talk, one above it was not meant to be.",
	Sources: []string{"CSEP2009", "HK"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		worked := WorkSheet(b, c)
		if !begun(c) || !worked.Estimable || !c.State.Closed {
			return nil
		}
		right := map[string]bool{}
		var names []string
		for _, pt := range worked.Points {
			if pt.Used {
				right[fmt.Sprint(pt.Stage)] = true
				names = append(names, fmt.Sprint(pt.Stage))
			}
		}
		at := wroteAt(c, exercises.KeyPoints)
		said := strings.Fields(studentEstimate(c).Points)
		same := len(said) == len(right)
		for _, s := range said {
			same = same && right[s]
		}
		if same {
			return []Opportunity{kept(at)}
		}
		did := "You named none."
		if len(said) > 0 {
			did = fmt.Sprintf("You named %s.", strings.Join(said, " and "))
		}
		return []Opportunity{broken(at, 0, left(c), pointsKnown(worked), did, usable(names))}
	},
}

// usable names the stages that were to be written; one alone gives no line.
func usable(stages []string) string {
	if len(stages) == 1 {
		return fmt.Sprintf("On your sheet only stage %s can be used, which gives a single-stage value and no line.", stages[0])
	}
	return fmt.Sprintf("On your sheet the line goes through %s.", strings.Join(stages, " and "))
}

// pointsKnown says of each stage why it may be used or not.
func pointsKnown(a protocol.Answer) string {
	var all []string
	for _, pt := range a.Points {
		all = append(all, fmt.Sprintf("stage %d: %s", pt.Stage, pt.Why))
	}
	return capital(strings.Join(all, "; ")) + "."
}

var ruleRating = Rule{
	Name: "sum-rating", Part: Arithmetic, Asks: "Rate the estimate by the house's table, and say which table.",
	Why:     "A number alone tells the person little. A cycle estimate read in a treadmill table is rated about one class too low, so the table is named.",
	Sources: []string{"COOPER1997", "KAMINSKY2017", "LOE2013"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		worked := WorkSheet(b, c)
		if !begun(c) || !worked.Estimable || !c.State.Closed {
			return nil
		}
		p, st := c.person(), studentEstimate(c)
		rel, whose := worked.VO2Rel, "On your sheet the estimate comes to"
		if st.VO2Rel != nil {
			rel, whose = unit.RelVO2(*st.VO2Rel), "Your estimate is"
		}
		norms := b.NormTable()
		right := norms.Category(p.Sex, p.Age, rel)
		at := wroteAt(c, exercises.KeyRating)
		own := right
		if age, ok := c.number(exercises.KeyAge); ok {
			own = norms.Category(p.Sex, unit.Age(age), rel) // an age misread is charged where the maximum was worked out
		}
		if said := strings.TrimSpace(st.Rating); strings.EqualFold(said, right) || strings.EqualFold(said, own) {
			return []Opportunity{kept(at)}
		}
		did := "The box is empty."
		if st.Rating != "" {
			did = fmt.Sprintf("You wrote “%s”.", st.Rating)
		}
		return []Opportunity{broken(at, 0, left(c), fmt.Sprintf("%s %.1f mL/kg/min, age %.0f, sex %s.", whose, rel, p.Age, p.Sex), did, fmt.Sprintf("The house’s table says “%s” (%s).", right, norms.Described()))}
	},
}

var ruleErrorRange = Rule{
	Name: "sum-error-range", Part: Arithmetic, Asks: "State the error range of the estimate, no narrower than the house's.",
	Why:     "Two careful testers differ by about this much. An estimate without its range is read as a measurement.",
	Sources: []string{"JAMNICK2016"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if worked := WorkSheet(b, c); !begun(c) || !worked.Estimable || !c.State.Closed {
			return nil
		}
		st, at := studentEstimate(c), wroteAt(c, exercises.KeyErrorRange)
		known, should := "The estimate stands on your sheet.", fmt.Sprintf("Write ± %s %% or more.", plainNumber(b.ErrorRange))
		if st.VO2Rel == nil && st.VO2Abs == nil {
			known = "An estimate could be made on your sheet."
		}
		switch {
		case st.ErrorRange == nil:
			return []Opportunity{broken(at, 0, left(c), known, "No error range is written.", should)}
		case *st.ErrorRange < b.ErrorRange:
			return []Opportunity{broken(at, 0.5, "", known, fmt.Sprintf("You wrote ± %s %%.", plainNumber(*st.ErrorRange)), should)}
		}
		return []Opportunity{kept(at)}
	},
}

var ruleNoEstimate = Rule{
	Name: "sum-no-estimate", Part: Arithmetic, Asks: "Say so when it cannot be estimated, and only then.",
	Why:     "A number drawn from points that cannot carry it is worse than none: it will be believed. One that they carry is what the person came for.",
	Sources: []string{"NHANES-CVX", "CSEP2009"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) || !c.State.Closed {
			return nil
		}
		worked, st := WorkSheet(b, c), studentEstimate(c)
		given := st.VO2Rel != nil || st.VO2Abs != nil
		at := lastSecond(c)
		switch {
		case worked.Estimable && st.NoEstimate != "" && !given:
			return []Opportunity{broken(at, 0, left(c), pointsKnown(worked), "You wrote that it cannot be estimated.", fmt.Sprintf("On your sheet it can: %.1f mL/kg/min.", worked.VO2Rel))}
		case worked.Estimable:
			return nil
		case given:
			return []Opportunity{broken(at, 0, "", pointsKnown(worked), "You gave an estimate.", fmt.Sprintf("On your sheet there is none: %s.", worked.WhyNot))}
		case st.NoEstimate == "":
			return []Opportunity{broken(at, 0, "", pointsKnown(worked), "You left the calculation empty.", fmt.Sprintf("Write that it cannot be estimated, and why: %s.", worked.WhyNot))}
		}
		o := kept(at)
		o.Good = "You saw that this sheet carries no estimate, and said so."
		return []Opportunity{o}
	},
}
