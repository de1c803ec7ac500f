package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/scenarios"
)

func newCasePreview() *cobra.Command {
	c := &cobra.Command{
		Use:   "preview NAME|FILE",
		Short: "One test of a case, drawn, with what was so beside what was done",
		Long: "One test of a case by the reference proctor, drawn in 80 columns: stages, pulse against the ceiling, pressures, and each sign from the second\n" +
			"at which it could be found (f), seen (s) or was said (u); then what happened, in order. It spoils the case.",
		Args:              args(cobra.ExactArgs(1), "kilopond case preview my-case.yaml --seed 7"),
		ValidArgsFunction: completeCases,
	}
	addCases(c)
	addSeed(c)
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		f, b, err := formatAndRules(c)
		if err != nil {
			return err
		}
		s, _, err := seed(c)
		if err != nil {
			return err
		}
		from, err := shelf(c)
		if err != nil {
			return err
		}
		one, err := from.loadOrFile(given[0])
		if err != nil {
			if errors.As(err, new(scenarios.Faults)) {
				return &hinted{fmt.Errorf("the case cannot be played:\n%w", err), "kilopond case check says the same, and more once the file can be read"}
			}
			return err
		}
		p, err := grader.PreviewCase(b, one, s)
		if err != nil {
			return err
		}
		if f == render.Text {
			for _, line := range previewLines(p) {
				if _, err := fmt.Fprintln(c.OutOrStdout(), line); err != nil {
					return err
				}
			}
			return nil
		}
		t := render.Table{Header: []string{"at_s", "where", "what"}, Right: []bool{true}, Wrap: -1}
		for _, e := range p.Events {
			t.Rows = append(t.Rows, []string{strconv.Itoa(e.AtS), e.Where, e.What})
		}
		return render.Write(c.OutOrStdout(), f, t, p)
	}
	return c
}

// previewLines is the whole preview as text.
func previewLines(p grader.CasePreview) []string {
	who := p.Subject
	lines := render.Wrap(fmt.Sprintf("%s, seed %d: %s, %s, %d, %s. Right act said: %s. Done: %s (%s).", p.Case, p.Seed, who.Name, render.SexWord(who.Sex), who.AgeY, who.Work,
		p.RightAct, p.Done, p.End), 78, "", "")
	lines = append(lines, "")
	if p.PedalAtS != nil {
		lines = append(append(lines, newStrip(p).draw(p)...), "")
		marks := "w warm-up, 1 2 … the stages, r recovery; * a count"
		if len(p.Signs) > 0 {
			marks += "; f a sign that asking or measuring finds, s that is seen, u that is said unasked"
		}
		lines = append(append(lines, render.Wrap(marks+".", 78, "", "")...), "")
	}
	for _, e := range p.Events {
		first := fmt.Sprintf("%-24s", e.Where)
		lines = append(lines, render.Wrap(e.What, 78, first, strings.Repeat(" ", len(first)))...)
	}
	return lines
}

// A strip lays seconds out on columns of text.
type strip struct{ from, to, step int } // s, s, s a column

// The widths of a strip: 78 columns in all. Source: [CHOICE-STRIP].
const stripLabel, stripWidth = 20, 58

// newStrip begins with the pedals and takes the finest step at which the whole test fits.
func newStrip(p grader.CasePreview) strip {
	s := strip{from: *p.PedalAtS, to: p.LastS, step: 5}
	for (s.to-s.from)/s.step >= stripWidth {
		s.step += 5
	}
	return s
}

// column is where a second stands; ok is false outside the strip.
func (s strip) column(at int) (int, bool) {
	return (at - s.from) / s.step, at >= s.from && at <= s.to
}

// row is a labelled line of marks.
func row(label string, marks []rune) string {
	return strings.TrimRight(fmt.Sprintf("%-*s%s", stripLabel, label, string(marks)), " ")
}

func blank(fill rune) []rune { return []rune(strings.Repeat(string(fill), stripWidth)) }

// put writes text from a column on, if nothing stands there and it fits.
func put(marks []rune, at int, text string) {
	r := []rune(text)
	for i := range len(r) + 1 { // one blank after it
		if at+i < len(marks) && marks[at+i] != ' ' {
			return
		}
	}
	if at+len(r) <= len(marks) {
		copy(marks[at:], r)
	}
}

func (s strip) draw(p grader.CasePreview) []string {
	scale, load := blank(' '), blank(' ')
	for minute := 0; s.from+60*minute <= s.to; minute++ {
		if at, ok := s.column(s.from + 60*minute); ok && (minute%2 == 0 || s.step <= 10) {
			put(scale, at, strconv.Itoa(minute))
		}
	}
	fill := func(from, to int, mark rune) {
		for at := from; at < to; at += s.step {
			if i, ok := s.column(at); ok {
				load[i] = mark
			}
		}
	}
	fill(s.from, s.to, 'w')
	for _, st := range p.Stages {
		fill(st.FromS, st.ToS, []rune(strconv.Itoa(st.Stage % 10))[0])
	}
	if p.EndedAtS != nil {
		fill(*p.EndedAtS, s.to+1, 'r')
	}
	lines := []string{row(fmt.Sprintf("min, %d s a column", s.step), scale), row("stage", load)}
	lines = append(lines, s.pulses(p)...)
	pressures := blank(' ')
	for _, k := range p.Pressures {
		if at, ok := s.column(k.AtS); ok {
			put(pressures, at, fmt.Sprintf("%.0f", k.Value))
		}
	}
	lines = append(lines, row("systolic", pressures))
	return append(lines, s.signs(p)...)
}

// rowBpm is how many bpm a row of the pulse takes. Source: [CHOICE-STRIP].
const rowBpm = 10

// pulses draws the counts as marks, ten bpm a row, and the ceiling as a line.
func (s strip) pulses(p grader.CasePreview) []string {
	band := func(bpm float64) int { return int(bpm) / rowBpm }
	low, high, any := 0, 0, false
	note := func(bpm float64) {
		if !any {
			low, high, any = band(bpm), band(bpm), true
		}
		low, high = min(low, band(bpm)), max(high, band(bpm))
	}
	for _, k := range p.Pulses {
		if _, ok := s.column(k.AtS); ok {
			note(k.Value)
		}
	}
	if !any {
		return nil
	}
	ceiling := -1
	if p.CeilingBpm != nil {
		ceiling = band(*p.CeilingBpm)
		note(*p.CeilingBpm)
	}
	var lines []string
	for b := high; b >= low; b-- {
		marks, label := blank(' '), fmt.Sprintf("pulse %d–%d", b*rowBpm, b*rowBpm+rowBpm-1)
		if b == ceiling {
			marks, label = blank(' '), fmt.Sprintf("ceiling %.0f", *p.CeilingBpm)
		}
		for at := s.from; b == ceiling && at <= s.to; at += s.step {
			if i, ok := s.column(at); ok {
				marks[i] = '-'
			}
		}
		for _, k := range p.Pulses {
			if at, ok := s.column(k.AtS); ok && band(k.Value) == b {
				marks[at] = '*'
			}
		}
		lines = append(lines, row(label, marks))
	}
	return lines
}

// signs draws, a row a sign, when it could be found, be seen, or was said.
func (s strip) signs(p grader.CasePreview) []string {
	var names []string
	rows := map[string][]rune{}
	for _, pass := range []struct {
		channel string
		mark    rune
	}{{"found", 'f'}, {"seen", 's'}, {"unasked", 'u'}} { // what is said stands over what is seen, and that over what is found
		for _, sign := range p.Signs {
			if sign.Channel != pass.channel || sign.ToS <= s.from {
				continue
			}
			if rows[sign.Sign] == nil {
				names = append(names, sign.Sign)
				rows[sign.Sign] = blank(' ')
			}
			for at := max(sign.FromS, s.from); at < sign.ToS; at++ {
				if i, ok := s.column(at); ok {
					rows[sign.Sign][i] = pass.mark
				}
			}
		}
	}
	var lines []string
	for _, name := range names {
		lines = append(lines, row(strings.ReplaceAll(name, "_", " "), rows[name]))
	}
	return lines
}
