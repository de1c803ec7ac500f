package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A caseField is one thing that case new needs: by flag, or else by question.
type caseField struct {
	flag, ask string
	choices   func() string // to be added to the question
	usual     func(*caseDraft) string
	take      func(*caseDraft, string) error // checks and keeps
	skip      func(*caseDraft) bool
}

// A caseDraft is a case as the answers have it so far.
type caseDraft struct {
	id, wrong       string
	act             scenarios.RightAct
	model           scenarios.Case // whose ranges and mechanism it begins with
	low, high       int
	sexes           []string
	about, teaches  string
	difficulty      int
	greeting, looks string
	question, says  string
	names           []scenarios.Name
}

func newCaseNew() *cobra.Command {
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a case file with comments, from a few answers",
		Long: "Write a case file with comments, from a few answers: typed at the questions, from a pipe, or given by flags. The file can be read, checked and\n" +
			"played at once; the comments say what each part does and what else may stand there. A file that is there is never written over.",
		Args: args(cobra.ExactArgs(1), "kilopond case new my-case.yaml"),
	}
	for _, f := range caseFields() {
		c.Flags().String(f.flag, "", strings.ToLower(f.ask[:1])+strings.TrimRight(firstSentence(f.ask[1:]), ".?"))
	}
	c.RunE = func(c *cobra.Command, given []string) error {
		path := given[0]
		d := caseDraft{id: strings.TrimSuffix(strings.TrimSuffix(filepath.Base(path), ".yaml"), ".yml")}
		if err := d.named(path); err != nil {
			return err
		}
		byFlag := func(flag string) (string, bool) {
			text, err := c.Flags().GetString(flag)
			must(err)
			return text, c.Flags().Changed(flag)
		}
		if err := d.fill(newAsker(c.InOrStdin(), c.OutOrStdout()), byFlag); err != nil {
			return err
		}
		return d.write(c, path)
	}
	return c
}

// fill takes each answer from its flag, or else asks for it.
func (d *caseDraft) fill(a *asker, byFlag func(flag string) (string, bool)) error {
	for _, f := range caseFields() {
		if f.skip != nil && f.skip(d) {
			continue
		}
		if text, ok := byFlag(f.flag); ok {
			if err := f.take(d, text); err != nil {
				return usage("kilopond case new --help lists what each flag takes", "--%s: %w", f.flag, err)
			}
			continue
		}
		question, usual := f.ask, ""
		if f.choices != nil {
			question += " " + f.choices()
		}
		if f.usual != nil {
			usual = f.usual(d)
		}
		_, err := a.ask(question, usual, func(text string) error { return f.take(d, text) })
		if errors.Is(err, errUnanswered) {
			return &hinted{err, "answer the question, or give --" + f.flag}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// named checks the file's name, which is the name of the case, before anything is asked.
func (d *caseDraft) named(path string) error {
	if ext := filepath.Ext(path); ext != ".yaml" && ext != ".yml" {
		return usage("for example my-case.yaml", "%s: a case file ends in .yaml", path)
	}
	if err := scenarios.CheckID(d.id); err != nil {
		return usage("the file's name is the name of the case, for example my-case.yaml", "%w", err)
	}
	if slices.Contains(scenarios.IDs(), d.id) {
		return usage("give yours another name", "%s: a case that ships is called that", d.id)
	}
	return notThere(path)
}

func firstSentence(text string) string {
	text, _, _ = strings.Cut(text, ". ")
	text, _, _ = strings.Cut(text, "? ")
	return text
}

// caseFields are the questions in their order.
func caseFields() []caseField {
	return []caseField{
		{flag: "wrong", ask: "What goes wrong?", choices: func() string { return "One of nothing, " + strings.Join(mechanisms(), ", ") + "." },
			usual: func(*caseDraft) string { return "nothing" }, take: (*caseDraft).takeWrong},
		{flag: "act", ask: "What is the right act? run_to_end, verify_then_go, end_test, stop_at_once or do_not_test.",
			usual: func(d *caseDraft) string { return string(d.model.RightAct) },
			take: func(d *caseDraft, text string) error {
				d.act = scenarios.RightAct(text)
				return oneOf("run_to_end", "verify_then_go", "end_test", "stop_at_once", "do_not_test")(text)
			}},
		{flag: "ages", ask: "How old may they be? The youngest and the oldest, as 20:45.",
			usual: func(d *caseDraft) string {
				return fmt.Sprintf("%.0f:%.0f", d.model.Who.AgeY.Low, d.model.Who.AgeY.High)
			}, take: (*caseDraft).takeAges},
		{flag: "sexes", ask: "Men, women or both? M, F or both.", usual: func(*caseDraft) string { return "both" },
			take: func(d *caseDraft, text string) error {
				if s, ok := unit.ParseSex(text); ok {
					text = string(s)
				}
				d.sexes = []string{text}
				if text == "both" {
					d.sexes = []string{"M", "F"}
				}
				return oneOf("M", "F", "both")(text)
			}},
		{flag: "about", ask: "What is it about? One line, for you: students see it after the test.", take: keep(func(d *caseDraft) *string { return &d.about })},
		{flag: "teaches", ask: "What does it teach? One or two sentences, as you would say them.", take: keep(func(d *caseDraft) *string { return &d.teaches })},
		{flag: "difficulty", ask: "How hard is it, 1 to 5?", usual: func(d *caseDraft) string { return strconv.Itoa(d.model.Difficulty) },
			take: func(d *caseDraft, text string) error {
				n, err := strconv.Atoi(text)
				if err != nil || n < 1 || n > 5 {
					return fmt.Errorf("%q: a whole number from 1 to 5", text)
				}
				d.difficulty = n
				return nil
			}},
		{flag: "greeting", ask: "What do they say on coming in? In their own words.", take: keep(func(d *caseDraft) *string { return &d.greeting })},
		{flag: "looks", ask: "What is seen as they come in? Described, not judged.", take: keep(func(d *caseDraft) *string { return &d.looks })},
		{flag: "question", ask: "Which health question has the answer that speaks against a test? heart, chest, dizzy, condition, medicines, joints, supervised, ill, today or active.",
			skip: func(d *caseDraft) bool { return d.act != scenarios.DoNotTest }, usual: func(*caseDraft) string { return "ill" },
			take: func(d *caseDraft, text string) error {
				d.question = text
				return oneOf("heart", "chest", "dizzy", "condition", "medicines", "joints", "supervised", "ill", "today", "active")(text)
			}},
		{flag: "says", ask: "And what do they answer? In their own words.",
			skip: func(d *caseDraft) bool { return d.act != scenarios.DoNotTest }, take: keep(func(d *caseDraft) *string { return &d.says })},
		{flag: "names", ask: "Invented people, as NAME, SEX, WORK; more than one with / between them: Ada Quill, F, binds books / Ben Quill, M, tunes pianos.",
			take: (*caseDraft).takeNames},
	}
}

// keep takes any text.
func keep(where func(*caseDraft) *string) func(*caseDraft, string) error {
	return func(d *caseDraft, text string) error {
		*where(d) = text
		return anyText(text)
	}
}

// mechanisms are what can go wrong with a person, each with a case of the library that shows it.
func mechanisms() []string {
	var all []string
	for name := range modelCases() {
		all = append(all, name)
	}
	slices.Sort(all)
	return all
}

// modelCases are the cases of the library from which a new one takes ranges and mechanism: the first, by name, in which nothing else is wrong. They are
// read once, and only when a case is to be written.
var modelCases = sync.OnceValue(func() map[string]string {
	all, err := scenarios.Library()
	must(err) // they ship, and are checked
	first := map[string]string{}
	for _, c := range all {
		if len(c.Ills) == 0 || c.Room != nil || c.Person != "" || c.Who.FirstStage != nil {
			continue
		}
		name := c.Ills[0].Name()
		one := !slices.ContainsFunc(c.Ills, func(i body.Ill) bool { return i.Name() != name })
		if first[name] == "" && one && !c.Minimises && !c.Disagrees && len(c.Reasons) == 0 {
			first[name] = c.ID
		}
	}
	return first
})

func (d *caseDraft) takeWrong(text string) error {
	if err := oneOf(append([]string{"nothing"}, mechanisms()...)...)(text); err != nil {
		return err
	}
	d.wrong = text
	id := "uneventful"
	if text != "nothing" {
		id = modelCases()[text]
	}
	var err error
	d.model, err = scenarios.Load(id)
	return err
}

func (d *caseDraft) takeAges(text string) error {
	low, high, ok := strings.Cut(text, ":")
	a, errA := strconv.Atoi(low)
	b, errB := strconv.Atoi(high)
	if !ok || errA != nil || errB != nil || a > b || a < scenarios.YoungestY || b > scenarios.OldestY {
		return fmt.Errorf("%q: two whole numbers from %d to %d, the lower first, as 20:45", text, scenarios.YoungestY, scenarios.OldestY)
	}
	d.low, d.high = a, b
	return nil
}

func (d *caseDraft) takeNames(text string) error {
	d.names = nil
	for _, one := range strings.Split(text, "/") {
		part := strings.SplitN(one, ",", 3)
		if len(part) != 3 {
			return fmt.Errorf("%q: NAME, SEX, WORK", strings.TrimSpace(one))
		}
		n := scenarios.Name{Name: strings.TrimSpace(part[0]), Work: strings.TrimSpace(part[2])}
		s, err := sex(strings.TrimSpace(part[1]))
		if err != nil {
			return fmt.Errorf("%q: the sex is M or F", strings.TrimSpace(one))
		}
		n.Sex = s
		if n.Name == "" || n.Work == "" {
			return fmt.Errorf("%q: name or work is blank", strings.TrimSpace(one))
		}
		if err := errors.Join(printable(n.Name), printable(n.Work)); err != nil {
			return err
		}
		d.names = append(d.names, n)
	}
	for _, s := range d.sexes {
		if !slices.ContainsFunc(d.names, func(n scenarios.Name) bool { return string(n.Sex) == s }) {
			return fmt.Errorf("nobody of sex %s among them: write all on one line, with / between", s)
		}
	}
	return nil
}
