package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"kilopond/cmd/internal/dialogue"
	"kilopond/cmd/internal/render"
	"kilopond/grader/skill"
)

// errLeft says that the student left, or the input ended.
var errLeft = errors.New("left")

// A prompter shows questions and reads answers.
type prompter struct {
	ctx   context.Context
	out   io.Writer
	echo  bool // print each typed line, so that a transcript reads alone
	list  bool
	lines <-chan string
	rules []string
	err   error // the first fault of writing
}

func (p *prompter) say(lines ...string) {
	for _, l := range lines {
		if p.err == nil {
			_, p.err = fmt.Fprintln(p.out, l)
		}
	}
}

func (p *prompter) par(text string) { p.say(render.Wrap(text, 78, "", "")...) }

// question shows one question and reads until it is answered.
func (p *prompter) question(it *skill.Item) (skill.Answer, error) {
	for _, f := range it.Facts {
		p.fact(f)
	}
	p.par(it.Ask)
	for i, c := range it.Choices {
		p.say(render.Wrap(c.Says, 78, fmt.Sprintf("  %d  %-10s ", i+1, c.Word), strings.Repeat(" ", 16))...)
	}
	var a skill.Answer
	for {
		typed, err := p.read(boxWords(it.Open(a)) + "> ")
		if err != nil {
			return a, err
		}
		switch strings.ToLower(typed) {
		case "help", "?":
			p.par(it.Hint(a) + " `rules` prints the rules of the house, `quit` leaves.")
			continue
		case "rules":
			p.say(p.rules...)
			continue
		case "quit", "exit", "leave":
			return a, errLeft
		}
		next, problem := it.Read(a, typed)
		if problem != nil {
			p.par(problem.What)
			p.say(render.Wrap(problem.Hint, 78, "  ", "  ")...)
			continue
		}
		if a = next; it.Whole(a) {
			return a, nil
		}
	}
}

// boxWords names the numbers that are still open; only the next one when they are many.
func boxWords(open []skill.Box) string {
	if len(open) > 2 {
		open = open[:1]
	}
	var names []string
	for _, b := range open {
		name := b.Name
		if b.Unit != "" {
			name += " (" + b.Unit + ")"
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return ""
	}
	return strings.Join(names, ", ") + " "
}

// read shows the prompt and waits for a line.
func (p *prompter) read(prompt string) (string, error) {
	if p.err == nil {
		_, p.err = fmt.Fprint(p.out, prompt)
	}
	if p.err != nil {
		return "", p.err
	}
	select {
	case <-p.ctx.Done():
		return "", errLeft
	case line, more := <-p.lines:
		if !more {
			p.say("")
			return "", errLeft
		}
		line = dialogue.Clean(line)
		if p.echo {
			p.say(line)
		}
		return line, nil
	}
}

// fact shows one thing that is to be known.
func (p *prompter) fact(f skill.Fact) {
	switch {
	case f.Pulse != nil:
		p.say(dialogue.PulseStrip(*f.Pulse, f.AtS, p.list)...)
	case f.Cuff != nil:
		p.say(dialogue.CuffStrip(*f.Cuff, p.list)...)
	case f.Table != nil:
		var b strings.Builder
		if err := render.Write(&b, render.Text, render.Table{Header: f.Table.Header, Rows: f.Table.Rows, Wrap: -1}, nil); err != nil && p.err == nil {
			p.err = err
		}
		p.say(strings.TrimRight(b.String(), "\n"))
	case f.Answer != "":
		p.par(f.Text)
		p.say(render.Wrap("“"+f.Answer+"”", 78, "    ", "    ")...)
	case f.When != "":
		p.say(render.Wrap(f.Text, 78, fmt.Sprintf("%6s ", f.When), strings.Repeat(" ", 7))...)
	default:
		p.par(f.Text)
	}
}

// verdict tells what there is to learn from an answer.
func (p *prompter) verdict(v skill.Verdict) {
	// What stood there, what was done, the rule, the reason: the order of a finding.
	parts := []string{"Right.", v.Known, v.Should, v.Why}
	switch {
	case v.Right:
	case v.Credit > 0:
		parts = []string{"Partly right.", v.Known, v.Did, v.Should, v.Why}
	default:
		parts = []string{"Not right.", v.Known, v.Did, v.Should, v.Why}
	}
	var told []string
	for _, t := range parts {
		if t != "" && !slices.Contains(told, t) {
			told = append(told, t)
		}
	}
	p.par(strings.Join(told, " ") + " [" + strings.Join(v.Source, ", ") + "]")
	for _, step := range v.Steps {
		p.say(render.Wrap(step, 78, "  ", "    ")...)
	}
}
