package grader

var ruleConsent = Rule{
	Name:    "consent",
	Part:    Safety,
	Asks:    "Ask for consent before the person pedals.",
	Why:     "A person who knows the purpose, the discomforts and that they may stop at any time, and agrees, is a partner who reports symptoms. Without it there is no test.",
	Sources: []string{"EXRX", "PRACTICE-ORDER"},
	Judge: func(b Rulebook, c *Course) []Opportunity {
		if !begun(c) {
			return nil
		}
		if asked := askedFirst(c, "consent"); before(c, asked) {
			return []Opportunity{kept(asked)}
		}
		return []Opportunity{broken(c.PedalAtS, 0, "consent", "The person had not been asked for consent.",
			"You started the pedalling.", "Ask for consent before any work.")}
	},
}
