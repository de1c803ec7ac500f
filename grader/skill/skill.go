package skill

import (
	"strings"
	"unicode"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A Name is one skill.
type Name string

const (
	Pulse    Name = "pulse"
	Cuff     Name = "cuff"
	Ceiling  Name = "ceiling"
	Steady   Name = "steady"
	Branch   Name = "branch"
	Screen   Name = "screen"
	Stop     Name = "stop"
	Estimate Name = "estimate"
	Plan     Name = "plan"
)

// Levels is how many levels each skill has, from 1. Source: [CHOICE-SKILL-LEVELS].
const Levels = 4

// A Skill is what there is to say of one.
type Skill struct {
	Name   Name
	Asks   string         // in one sentence
	Levels [Levels]string // what makes each level harder than the one before
	N      int            // questions that take about a minute. Source: [CHOICE-SKILL-LEVELS].
	draw   func(m *Maker, it *Item) error
	kinds  [Levels][]share
}

// A share is how often a kind of question comes, against the others of its level.
type share struct {
	kind   string
	weight int
}

// Skills lists the skills in the order in which a test needs them.
func Skills() []Skill {
	return []Skill{pulseSkill(), cuffSkill(), ceilingSkill(), steadySkill(), branchSkill(), screenSkill(), stopSkill(), estimateSkill(), planSkill()}
}

// Find returns the skill of that name.
func Find(n Name) (Skill, bool) {
	for _, s := range Skills() {
		if s.Name == n {
			return s, true
		}
	}
	return Skill{}, false
}

// Names lists the names of the skills.
func Names() []string {
	var all []string
	for _, s := range Skills() {
		all = append(all, string(s.Name))
	}
	return all
}

// An Item is one question, ready to be shown.
type Item struct {
	Skill   Name
	Seed    scenarios.Seed
	Level   int
	Kind    string // which kind of question it is; told with the answer, never before
	Facts   []Fact
	Ask     string
	Choices []Choice // one of them is the answer; nil when numbers are asked for
	Boxes   []Box    // numbers asked for, in order
	More    int      // numbers that may be given beyond the boxes
	None    string   // what may be said in place of numbers, as a sentence; "" when nothing may
	judge   func(Answer) Verdict
	truth   truth
}

// A truth is what was so, for tests of what an ideal student would get.
type truth struct {
	hr                  float64
	systolic, diastolic float64
}

// Judge judges an answer that Read has read.
func (it *Item) Judge(a Answer) Verdict { return it.judge(a) }

// A Fact is one thing that is shown: a text, with the clock of the stage when it has one, a part of a sheet, or a strip.
type Fact struct {
	When   string
	Text   string
	Answer string // of a question that was put to the person
	Table  *Table
	Pulse  *exercises.PulseFelt // shown as a strip
	Cuff   *exercises.CuffFell  // shown as a falling gauge
	AtS    int                  // of a strip: where the clock of the stage stands when it begins
}

// A Table is a part of a data sheet.
type Table struct {
	Header []string
	Rows   [][]string
}

// A Choice is a word that may be typed and what it stands for.
type Choice struct{ Word, Says string }

// A Box is a number that is asked for.
type Box struct {
	Name string // as prompted
	Unit string
}

// A Verdict is what is told of an answer.
type Verdict struct {
	Right  bool
	Credit float64  // 0 to 1, as in the grading
	Known  string   // what stood there to be known
	Did    string   // what was answered, with the slip that it fits; "" when it was right
	Should string   // what is acceptable
	Steps  []string // the calculation worked, a line each; nil where there is none
	Why    string
	Source []string // keys of physiology/SOURCES.md
}

func capital(s string) string {
	r := []rune(s)
	if len(r) > 0 {
		r[0] = unicode.ToUpper(r[0])
	}
	return string(r)
}

// joinOr names what is acceptable, apart by "or".
func joinOr(all []string) string { return strings.Join(all, "; or ") }

func text(s string) Fact { return Fact{Text: s} }
