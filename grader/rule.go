package grader

// A Part is one of the four parts of the mark.
type Part string

const (
	Safety     Part = "safety"
	Validity   Part = "validity"
	Procedure  Part = "procedure"
	Arithmetic Part = "arithmetic"
)

// A Rule judges one kind of act or omission over a whole attempt. Its points are in the rulebook, under its name.
type Rule struct {
	Name    string   // "branch-column"; the key in Rulebook.Points
	Part    Part     //
	Asks    string   // what the rule asks, in one sentence, as printed on the rules page
	Why     string   // why it exists, in a short paragraph
	Helped  string   // what is to be said besides where somebody helps
	Sources []string // keys of physiology/SOURCES.md
	Judge   func(Rulebook, *Course) []Opportunity
}

// WhyIn is why the rule exists in a house.
func (r Rule) WhyIn(b Rulebook) string {
	if r.Helped == "" || b.Crew == "solo" {
		return r.Why
	}
	return r.Why + " " + r.Helped
}

// An Opportunity is one place on the student's own path where a rule could be kept or broken. A rule that is never reached has
// none, and then leaves the denominator.
type Opportunity struct {
	AtS        int
	Credit     float64  // 0 to 1
	Cause      string   // the same cause is charged once over all rules, in the order of Rules; "" is a cause of its own
	ClosesGate string   // why, or ""
	Finding    *Finding // nil when nothing is to be said
	Good       string   // a right decision worth a line, or ""
}

// A Finding is the student's error: what could be known, what was done, what the rule asks, why, where it is written.
type Finding struct {
	Rule       string   `json:"rule"`
	Part       Part     `json:"part"`
	AtS        int      `json:"at_s"`
	Where      string   `json:"where"`  // "stage 2, 2:45"
	Known      string   `json:"known"`  // what the student could know then
	Did        string   `json:"did"`    // what was done
	Should     string   `json:"should"` // what would have been acceptable
	Why        string   `json:"why"`
	Sources    []string `json:"sources"`
	Lost       float64  `json:"points_lost"`
	ChargedTo  string   `json:"charged_to,omitempty"`  // rule that already bore the same cause
	Stake      Stake    `json:"at_stake,omitempty"`    // of a finding of safety: what it could have cost a real person
	ClosesGate string   `json:"closes_gate,omitempty"` // why it closes the gate
}
