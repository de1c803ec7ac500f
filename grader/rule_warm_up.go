package grader

import "fmt"

var ruleWarmUp = Rule{
	Name:    "warm-up",
	Part:    Validity,
	Asks:    "Let the person pedal without load for the length of the warm-up before stage 1.",
	Why:     "The first minutes settle nerves, rhythm and saddle. Without them the first heart rate is that of the nerves, and it chooses the column.",
	Sources: []string{"HAND", "AURAL", "KNOWT"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if len(c.Stages) == 0 || b.WarmUpS == 0 {
			return nil
		}
		lasted := c.Stages[0].FromS - c.PedalAtS
		if short := b.WarmUpS - lasted; short > warmUpSlack {
			return []Opportunity{broken(c.Stages[0].FromS, share(float64(short), warmUpSlack, float64(b.WarmUpS)), "warm-up",
				fmt.Sprintf("The person had pedalled for %s.", clock(lasted)), "You began stage 1.", fmt.Sprintf("Warm up for %s.", clock(b.WarmUpS)))}
		}
		return []Opportunity{kept(c.Stages[0].FromS)}
	},
}

// warmUpSlack is how many seconds short a warm-up may be. Source: [CHOICE-LATENCY].
const warmUpSlack = 10
