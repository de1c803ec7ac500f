package scenarios

import (
	"fmt"
	"slices"
	"strings"
)

// Competencies are the decisions that a case can practise, in the order in which a test meets them.
func Competencies() []string {
	return []string{"screen", "prepare", "pulse", "cuff", "branch", "steady", "ceiling", "stop", "recover", "estimate"}
}

// Practises returns the decisions that the case practises: those that it names, else those that follow from what is in it.
func (c Case) Practises() []string {
	if len(c.Competency) > 0 {
		return c.Competency
	}
	has := map[string]bool{}
	switch c.RightAct {
	case DoNotTest:
		has["screen"] = true
	case EndTest, StopAtOnce:
		has["stop"] = true
	}
	for _, i := range c.Ills {
		switch i.Name() {
		case "pressure_fall", "pressor", "diastolic_rise", "dip", "nervous":
			has["cuff"] = true
		case "premature_beats", "fibrillation", "rate_limit":
			has["pulse"] = true
		case "faint":
			has["recover"] = true
		case "nuisance":
			has["stop"] = true // or rather not to
		case "caffeine", "hard_day":
			has["estimate"] = true
		}
	}
	if c.Room != nil {
		has["prepare"] = true
	}
	if c.Who.FirstStage != nil {
		has["branch"] = true
	}
	var all []string
	for _, k := range Competencies() {
		if has[k] {
			all = append(all, k)
		}
	}
	if len(all) == 0 {
		all = []string{"branch", "estimate"}
	}
	return all
}

func (c *Case) checkCompetency(d *Decoded) {
	for i, k := range c.Competency {
		path := fmt.Sprintf("competency.%d", i)
		if !slices.Contains(Competencies(), k) {
			d.Fault(path, "competency %s: one of %s", quote(k), strings.Join(Competencies(), ", "))
		} else if slices.Contains(c.Competency[:i], k) {
			d.Fault(path, "competency %s is given twice", k)
		}
	}
}
