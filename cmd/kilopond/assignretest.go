package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/skill"
	"kilopond/scenarios"
)

func newAssignRetest() *cobra.Command {
	c := &cobra.Command{
		Use:   "retest ASSIGNMENT.json",
		Short: "New packs about the decision that was failed, after the short skill of it",
		Long: "New packs for the students who failed a decision: other people who ask for it, and people who look like it and do not. The short skill\n" +
			"comes first. It is an assignment of its own that names the first: both results stay.\n\n" + packLimits + "\n\n" + render.Caution,
		Args: args(cobra.ExactArgs(1), "kilopond assign retest week-9/assignment.json --decision stop --student 7K2M-QX4P --until 2026-12-11 --out week-9-again"),
	}
	c.Flags().String("decision", "", "what was failed: a rule as the report names it, or one of "+strings.Join(scenarios.Competencies(), ", "))
	c.Flags().StringSlice("student", nil, "who: code or key, several with commas")
	wholeFlag(c.Flags(), "subjects", 3, "how many people")
	must(c.RegisterFlagCompletionFunc("decision", completeWords(scenarios.Competencies())))
	addTerms(c)
	for _, name := range []string{"roster", "key", "class"} {
		must(c.Flags().MarkHidden(name))
	}
	c.RunE = assignRetest
	return c
}

// skillFor is the short skill of a decision; where there is none of its own, the nearest; "" when this program has neither.
func skillFor(competency string) string {
	for _, name := range []string{competency, "plan"} {
		if slices.Contains(skill.Names(), name) {
			return name
		}
	}
	return ""
}

func assignRetest(c *cobra.Command, given []string) error {
	f := c.Flags()
	if f.Changed("roster") || f.Changed("key") || f.Changed("class") {
		return usage("--student names them by code or key", "retest: the students are those of the first assignment")
	}
	decision, err := f.GetString("decision")
	must(err)
	who, err := f.GetStringSlice("student")
	must(err)
	n, err := f.GetInt("subjects")
	must(err)
	switch {
	case decision == "":
		return usage("one of "+strings.Join(scenarios.Competencies(), ", ")+", or a rule as the report names it", "retest: --decision says what was failed")
	case len(who) == 0:
		return usage("for example --student 7K2M-QX4P", "retest: --student says who")
	case n < 1 || n > 40:
		return usage("for example --subjects 3", "--subjects %d: 1 to 40", n)
	}
	competency := decision
	if !slices.Contains(scenarios.Competencies(), decision) {
		if competency = grader.CompetencyOf(decision); competency == "" {
			names := scenarios.Competencies()
			for _, r := range grader.Rules() {
				names = append(names, r.Name)
			}
			hint := "one of " + strings.Join(scenarios.Competencies(), ", ") + ", or a rule as the report names it"
			if near := scenarios.Nearest(decision, names); near != "" {
				hint = "did you mean " + near + "?"
			}
			return usage(hint, "--decision %q: no decision of that name", decision)
		}
	}
	a, err := readAssignment(given[0])
	if err != nil {
		return err
	}
	plan := exercises.Plan{Subjects: n, Retest: &exercises.Retest{Of: a.Assignment, Decision: decision}, Avoid: map[string][]string{}}
	cases, err := casesFor(given[0], a)
	if err != nil {
		return err
	}
	for _, one := range cases {
		if slices.Contains(one.Practises(), competency) {
			plan.Cases = append(plan.Cases, one)
		}
	}
	if len(plan.Cases) == 0 {
		return &hinted{fmt.Errorf("no case asks for %s", competency), "kilopond case list --spoil says what each is about"}
	}
	roster, err := again(a, who, plan.Avoid)
	if err != nil {
		return err
	}
	if name := skillFor(competency); !f.Changed("skill") && name != "" {
		must(f.Set("skill", name))
	}
	if !f.Changed("title") {
		must(f.Set("title", a.Title+", again: "+competency))
	}
	book, err := attemptRules(c, exercises.Header{Rulebook: a.Rulebook})
	if err != nil {
		return err
	}
	return handOut(c, plan, roster, book)
}

// again lists the students of the first assignment who are named, and the cases that they have met.
func again(a exercises.Assignment, who []string, met map[string][]string) (exercises.Roster, error) {
	var r exercises.Roster
	for _, text := range who {
		text = strings.TrimSpace(text)
		s, ok := a.ByKey(text)
		if code, err := exercises.ParseCode(text); !ok && err == nil {
			s, ok = a.ByCode(code)
		}
		if !ok {
			return r, usage("codes.csv beside the assignment lists both", "--student %q: neither a code nor a key of this assignment", text)
		}
		if _, twice := met[s.Key]; twice {
			return r, usage("name each student once", "--student %q: named twice", text)
		}
		met[s.Key] = []string{}
		for _, x := range s.Subjects {
			for _, d := range x.Tries {
				met[s.Key] = append(met[s.Key], d.Case)
			}
		}
		r.Entrants = append(r.Entrants, exercises.Entrant{Name: s.Name, Key: s.Key, Group: s.Group, TimeFactor: s.TimeFactor, Extra: s.Extra})
	}
	return r, nil
}
