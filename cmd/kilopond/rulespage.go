package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A statedRule is one rule in force, as it is printed.
type statedRule struct {
	text string // what it asks or sets, with its value
	path string // how it is called with --set, or in a finding
}

// statedRules lists the rules in force in the order of their numbers, with how tolerances and weights are left to rulebook show.
func statedRules(book grader.Rulebook) []statedRule {
	var all []statedRule
	for _, r := range book.Describe() {
		if strings.HasPrefix(r.Path, "tolerances.") || strings.HasPrefix(r.Path, "weights.") || r.Path == "name" {
			continue
		}
		if name, ok := strings.CutPrefix(r.Path, "points."); ok {
			all = append(all, statedRule{r.Meaning, name})
			continue
		}
		text := capital(r.Meaning) + ": " + r.Value
		if r.Path == "norms" {
			text += normsInWords(book.NormTable())
		}
		all = append(all, statedRule{text, r.Path})
	}
	return all
}

// normsInWords is the whole table, since an estimate is rated by nothing else.
func normsInWords(t protocol.NormTable) string {
	return fmt.Sprintf(" (%s). Lower edges of %s, in mL/kg/min. Women %s. Men %s.", t.Described(), strings.Join(protocol.Categories()[1:], ", "), t.Rows(unit.Female), t.Rows(unit.Male))
}

// numberedRules are the rules in force in lines of 78 characters, as they are printed at the prompt and on the page.
func numberedRules(book grader.Rulebook) []string {
	var lines []string
	for i, r := range statedRules(book) {
		lines = append(lines, render.Wrap(r.text+" ["+r.path+"]", 78, fmt.Sprintf("%3d  ", i+1), "     ")...)
	}
	return lines
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// rulesText is the page that goes with every pack as text: what is asked, and the rules by which it is judged.
func rulesText(t exercises.Terms, book grader.Rulebook) []byte {
	var b bytes.Buffer
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say("%s", t.Title)
	say("assignment %s, rulebook %s\n", t.Assignment, book.Name)
	for _, line := range termsInWords(t) {
		for _, l := range render.Wrap(line[1], 78, fmt.Sprintf("%-10s ", line[0]), strings.Repeat(" ", 11)) {
			say("%s", l)
		}
	}
	say("\nThe rules in force. %s\n", onlyThese)
	for _, l := range numberedRules(book) {
		say("%s", l)
	}
	say("")
	for _, l := range render.Wrap(render.Caution, 78, "", "") {
		say("%s", l)
	}
	return b.Bytes()
}

// onlyThese is promised wherever rules are printed.
const onlyThese = "No finding rests on a rule that is not in this list."

// rulesPDF is the same on paper of a size of paper.Sizes.
func rulesPDF(t exercises.Terms, book grader.Rulebook, size string) ([]byte, error) {
	title := t.Title
	if no, err := paper.Unset(title); err != nil || len(no) > 0 {
		title = "Assignment " + t.Assignment // rules.txt bears the title itself
	}
	var b bytes.Buffer
	err := paper.WriteRules(&b, paper.RulesPage{
		Title: title, Subject: "assignment " + t.Assignment + ", rulebook " + book.Name, Caution: render.Caution,
		Asked: termsInWords(t), Note: onlyThese, Rules: rulesOnPaper(book),
	}, size)
	return b.Bytes(), err
}

// rulesOnPaper is the numbered list of the rules in force.
func rulesOnPaper(book grader.Rulebook) []paper.Rule {
	var all []paper.Rule
	for _, r := range statedRules(book) {
		all = append(all, paper.Rule{Text: r.text, Name: r.path})
	}
	return all
}

// rulebookPDF writes the rules alone, for the wall or for whoever has no pack.
func rulebookPDF(c *cobra.Command, book grader.Rulebook) error {
	text := func(name string) string {
		s, err := c.Flags().GetString(name)
		must(err)
		return s
	}
	force, err := c.Flags().GetBool("force")
	must(err)
	p := paper.RulesPage{Title: "The rules of the house", Subject: "rulebook " + book.Name, Caution: render.Caution, Note: onlyThese, Rules: rulesOnPaper(book)}
	return writeReport(text("pdf"), force, func(w io.Writer) error { return paper.WriteRules(w, p, text("paper")) })
}
