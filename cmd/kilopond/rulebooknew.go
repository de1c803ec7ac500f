package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/grader"
	"kilopond/scenarios"
)

func newRulebookNew() *cobra.Command {
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write house rules from fourteen questions",
		Long: "Write house rules from fourteen questions on which the textbooks differ, each with the choices met in print. An empty answer keeps the one in\n" +
			"brackets. Typed at the questions, from a pipe, or given by flags. A file that is there is never written over.",
		Args: args(cobra.ExactArgs(1), "kilopond rulebook new our-rules.yaml"),
	}
	for _, q := range grader.RulebookQuestions() {
		c.Flags().String(q.Key, "", strings.ToLower(q.Ask[:1])+firstSentence(strings.TrimSuffix(q.Ask[1:], "?"))+": "+strings.Join(choiceWords(q), ", "))
	}
	c.RunE = func(c *cobra.Command, given []string) error {
		path := given[0]
		name := strings.TrimSuffix(strings.TrimSuffix(filepath.Base(path), ".yaml"), ".yml")
		if err := bookNamed(path, name); err != nil {
			return err
		}
		answers := map[string]string{}
		for _, q := range grader.RulebookQuestions() {
			if !c.Flags().Changed(q.Key) {
				continue
			}
			word, err := c.Flags().GetString(q.Key)
			must(err)
			if err := oneOf(choiceWords(q)...)(word); err != nil {
				return usage("one of: "+strings.Join(choiceWords(q), ", "), "--%s: %w", q.Key, err)
			}
			answers[q.Key] = word
		}
		if _, err := grader.RulebookFile(name, answers); err != nil {
			return usage("change one of the flags", "these answers do not go together:\n%w", err)
		}
		if err := askRules(newAsker(c.InOrStdin(), c.OutOrStdout()), name, answers); err != nil {
			return err
		}
		text, err := grader.RulebookFile(name, answers)
		if err != nil {
			return err
		}
		if err := writeNew(path, text); err != nil {
			return err
		}
		return newRulesWritten(c, path, text)
	}
	return c
}

// bookNamed checks the file's name, which is the name of the rulebook, before anything is asked.
func bookNamed(path, name string) error {
	if ext := filepath.Ext(path); ext != ".yaml" && ext != ".yml" {
		return usage("for example our-rules.yaml", "%s: a rulebook file ends in .yaml", path)
	}
	if scenarios.CheckID(name) != nil {
		return usage("for example our-rules.yaml", "%s: small letters, digits and single hyphens, beginning with a letter", name)
	}
	if _, err := grader.Preset(name); err == nil {
		return usage("give yours another name", "%s: a rulebook that ships is called that", name)
	}
	return notThere(path)
}

func choiceWords(q grader.RulebookQuestion) []string {
	var words []string
	for _, c := range q.Choices {
		words = append(words, c.Word)
	}
	return words
}

// askRules puts the questions that have no answer yet. An answer that does not go with those before it is said to be so, and asked again.
func askRules(a *asker, name string, answers map[string]string) error {
	questions := grader.RulebookQuestions()
	for i, q := range questions {
		if _, ok := answers[q.Key]; ok {
			continue
		}
		if _, err := fmt.Fprintln(a.out); err != nil {
			return err
		}
		if err := a.say(fmt.Sprintf("%d of %d. %s", i+1, len(questions), q.Ask)); err != nil {
			return err
		}
		for _, c := range q.Choices {
			says := fmt.Sprintf("%s [%s]", c.Says, strings.Join(c.Sources, ", "))
			if err := a.choice(c.Word, says); err != nil {
				return err
			}
		}
		_, err := a.ask("", q.Usual(answers).Word, func(word string) error {
			if err := oneOf(choiceWords(q)...)(word); err != nil {
				return err
			}
			answers[q.Key] = word
			_, err := grader.RulebookFile(name, answers)
			if err != nil {
				delete(answers, q.Key)
				err = plainFaults(err)
			}
			return err
		})
		if errors.Is(err, errUnanswered) {
			return &hinted{err, "answer the question, or give --" + q.Key}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// plainFaults is what the faults of a file say, without the places of a file that nobody has seen yet.
func plainFaults(err error) error {
	var faults scenarios.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var all []string
	for _, f := range faults {
		all = append(all, f.Message)
	}
	return errors.New(strings.Join(all, "; "))
}

// newRulesWritten says what was written, what of it to look at again, and what comes next.
func newRulesWritten(c *cobra.Command, path, text string) error {
	b, err := grader.DecodeRulebook(path, []byte(text))
	if err != nil {
		return err
	}
	a := newAsker(strings.NewReader(""), c.OutOrStdout())
	if _, err := fmt.Fprintf(a.out, "\nWritten: %s\n", path); err != nil {
		return err
	}
	for _, q := range b.Consequences() {
		if q.Doubt {
			if err := a.say("Look again: " + q.Says + "."); err != nil {
				return err
			}
		}
	}
	_, err = fmt.Fprintf(a.out, "Next:    kilopond rulebook check %s\n         kilopond rulebook diff four-band %s\n         kilopond drill --rulebook %s\n", path, path, path)
	return err
}
