package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/dialogue"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// demoResult is the machine-readable result of demo.
type demoResult struct {
	Model    int               `json:"model"`
	Case     string            `json:"case"`
	Seed     scenarios.Seed    `json:"seed"`
	Subject  exercises.Subject `json:"subject"`
	Rulebook string            `json:"rulebook"`
	Events   []exercises.Event `json:"events"`
	Sheet    []sheetRow        `json:"sheet"`
	Worked   protocol.Answer   `json:"worked_answer"`
	Margins  grader.Margins    `json:"margins"`
	Truth    scenarios.Truth   `json:"truth"`
}

// sheetRow is one entry of the sheet.
type sheetRow struct {
	Number int    `json:"number"`
	AtS    int    `json:"at_s"`
	Key    string `json:"key"`
	Text   string `json:"text"`
	Stage  int    `json:"stage"`
	Minute int    `json:"minute"`
	Struck bool   `json:"struck"`
}

func newDemo() *cobra.Command {
	c := &cobra.Command{
		Use:               "demo [CASE]",
		Short:             "The reference proctor works a test and says why",
		Long:              "The reference proctor works a whole test on a synthetic subject, says why at each decision, and has the report printed. --pause stops at each\ndecision.\n\n" + render.Caution,
		Args:              args(cobra.MaximumNArgs(1), "kilopond demo uneventful --seed 7"),
		ValidArgsFunction: completeCases,
	}
	addCases(c)
	addSeed(c)
	addRules(c)
	addFormat(c)
	c.Flags().Bool("pause", false, "stop at each decision for a class to vote, and say how the votes compare")
	c.RunE = func(c *cobra.Command, given []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		pause, err := c.Flags().GetBool("pause")
		must(err)
		if pause && f != render.Text {
			return usage("kilopond demo --pause, without --format", "--pause: a vote is held in plain text only")
		}
		b, err := rules(c)
		if err != nil {
			return err
		}
		s, _, err := seed(c)
		if err != nil {
			return err
		}
		if len(given) == 0 {
			given = []string{"uneventful"}
		}
		sc, err := chooseSubject(c, given, s)
		if err != nil {
			return err
		}
		whole, err := grader.Play(b, sc)
		if err != nil {
			return fmt.Errorf("demo: %w", err)
		}
		played := demoPlay{whole}
		switch f {
		case render.JSON:
			return render.WriteJSON(c.OutOrStdout(), played.result(b))
		case render.CSV, render.Markdown:
			return render.Write(c.OutOrStdout(), f, played.table(), nil)
		}
		if !pause {
			return played.tell(c, b, nil)
		}
		done := make(chan struct{})
		defer close(done)
		v := &voting{ctx: c.Context(), out: render.NewNarrow(c.OutOrStdout()), lines: dialogue.Lines(c.InOrStdin(), done), echo: !isTerminal(c)}
		err = played.tell(c, b, v)
		if errors.Is(err, errLeft) {
			_, err = fmt.Fprintln(c.OutOrStdout(), "\nLeft.")
		}
		return err
	}
	return c
}

// A demoPlay is a whole test by the reference proctor, to be told.
type demoPlay struct{ *grader.Played }

func (d demoPlay) result(b grader.Rulebook) demoResult {
	state := d.Session.State()
	h := state.Header
	course := grader.ReadState(b, state)
	r := demoResult{
		Model: h.Model, Case: h.Case, Seed: h.Seed, Subject: h.Subject, Rulebook: b.Name, Events: state.Events, Sheet: []sheetRow{},
		Worked: grader.WorkSheet(b, course), Margins: grader.Grade(b, course).Margins, Truth: course.Closing.Truth,
	}
	for _, it := range state.Items {
		r.Sheet = append(r.Sheet, sheetRow{it.Number, it.AtS, string(it.Key), it.Text, it.Stage, it.Minute, it.Struck})
	}
	return r
}

// table is what was done and why, a row an act.
func (d demoPlay) table() render.Table {
	t := render.Table{Header: []string{"clock_s", "act", "why"}, Right: []bool{true}, Wrap: -1}
	for i, l := range d.Lines {
		t.Rows = append(t.Rows, []string{fmt.Sprint(d.Before[i]), actWords(l.Command), d.Why[i]})
	}
	return t
}

// tell prints the test as it would run at the prompt, with the proctor's reasons, and then the report. With a voting it stops at each decision.
func (d demoPlay) tell(c *cobra.Command, b grader.Rulebook, v *voting) error {
	w := render.NewNarrow(c.OutOrStdout())
	who := d.Session.State().Header.Subject
	if _, err := fmt.Fprintf(w, "%s, %s, %d, %s.\n", who.Name, render.SexWord(who.Sex), who.AgeY, who.Work); err != nil {
		return err
	}
	if v != nil {
		if _, err := fmt.Fprintln(w, "The test stops at each decision. Vote by letter; Enter alone shows what the proctor does."); err != nil {
			return err
		}
	}
	replay := dialogue.Replay(d.Session)
	p := poll{b, grader.NewProctor(b).Knowing(d.Session.Subject().Case), d.Session.State().Header.Seed.Stream("ballots")}
	for i, l := range d.Lines {
		if v != nil {
			for _, vote := range p.ballots(replay.State(), d.Lines[:i], l.Command) {
				if err := v.put(replay.Place(), vote); err != nil {
					return err
				}
			}
		}
		rows := append([]string{"", replay.Place()}, render.Wrap(actWords(l.Command), 78, "> ", "    ")...)
		rows = append(rows, render.Wrap(d.Why[i], 78, "  why: ", "       ")...)
		rows = append(rows, replay.Show(l)...)
		for _, r := range rows {
			if _, err := fmt.Fprintln(w, r); err != nil {
				return err
			}
		}
	}
	if v != nil {
		if err := v.result(); err != nil {
			return err
		}
	}
	o := render.OutlineOf(openedReport(b, d.Session))
	o.With(givenAgain(c, "cases"), givenAgain(c, "cases", "rulebook", "set"), givenAgain(c, "rulebook", "set"))
	return render.WriteOutline(w, o)
}

// actWords is a command as it would be typed.
func actWords(c exercises.Command) string {
	act := strings.ReplaceAll(string(c.Act), "_", " ")
	switch c.Act {
	case exercises.Count:
		return strings.TrimSpace(fmt.Sprintf("count %d %s", c.Seconds, c.What))
	case exercises.Time:
		return fmt.Sprintf("time %d beats", c.Beats)
	case exercises.Pressure:
		return fmt.Sprintf("pressure pump %d valve %v", c.PumpMmHg, c.ValveMmHgS)
	case exercises.Wait:
		return fmt.Sprintf("wait %d", c.Seconds)
	case exercises.Rest:
		return fmt.Sprintf("rest %v", float64(c.Seconds)/60)
	case exercises.Metronome:
		return fmt.Sprintf("metronome %v", c.CadenceRPM)
	case exercises.Stage, exercises.Resistance, exercises.CoolDown:
		return fmt.Sprintf("%s %v", act, c.ResistanceKp)
	case exercises.Strike:
		return fmt.Sprintf("strike %d", c.Entry)
	case exercises.Write:
		var all []string
		for _, e := range c.Entries {
			all = append(all, dialogue.BoxWord(e.Key)+" "+e.Text)
		}
		return "write " + strings.Join(all, ", ")
	}
	return strings.TrimSpace(act + " " + c.What)
}
