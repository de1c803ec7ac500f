package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/dialogue"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/filelog"
	"kilopond/grader"
	"kilopond/grader/skill"
	"kilopond/scenarios"
)

// mostQuestions is more than anybody answers at one sitting.
const mostQuestions = 400

// newSkill makes the command; now tells the time.
func newSkill(now func() time.Time) *cobra.Command {
	c := &cobra.Command{
		Use:   "skill [NAME]",
		Short: "Short drills on one decision; alone: what is due",
		Long: "Short drills on one decision, about a minute each: " + strings.Join(skill.Names(), ", ") + ". Each question is explained at once. It\n" +
			"gets harder above nine right in ten and easier below seven. Without a name: what is due, and how it went.\n\n" + render.Caution,
		Args: args(cobra.MaximumNArgs(1), "kilopond skill "+skill.Names()[0]),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
			return skill.Names(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().Int("n", 0, "how many questions; 0: about a minute of them")
	c.Flags().Int("level", 0, fmt.Sprintf("1 to %d; 0: the level that your answers have earned", skill.Levels))
	c.Flags().String("beats", "marks", "marks, or list: beats and sounds as lists of times, for a screen reader")
	c.Flags().String("progress", "", "the file in which your answers are kept; it is made when it is not there")
	addSeed(c)
	c.Flags().Lookup("seed").Usage = "which questions: a whole number, the same one for the same questions at the same level"
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		if len(given) == 0 {
			return showDue(c, now())
		}
		return sitSkill(c, given[0], now)
	}
	list := &cobra.Command{Use: "list", Short: "List the skills and their levels", Args: args(cobra.NoArgs, "kilopond skill list")}
	addFormat(list)
	list.RunE = listSkills
	c.AddCommand(list)
	return c
}

// skillRow is one skill as listed.
type skillRow struct {
	Name      skill.Name           `json:"name"`
	Asks      string               `json:"asks"`
	Questions int                  `json:"questions"`
	Levels    [skill.Levels]string `json:"levels"`
}

func listSkills(c *cobra.Command, _ []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	t := render.Table{Header: []string{"skill", "asks", "questions", "levels"}, Right: []bool{false, false, true}, Wrap: -1}
	rows := []skillRow{}
	for _, s := range skill.Skills() {
		rows = append(rows, skillRow{s.Name, s.Asks, s.N, s.Levels})
		t.Rows = append(t.Rows, []string{string(s.Name), s.Asks, fmt.Sprint(s.N), strings.Join(s.Levels[:], "; ")})
	}
	if f != render.Text {
		return render.Write(c.OutOrStdout(), f, t, rows)
	}
	for _, s := range skill.Skills() {
		fmt.Fprintln(c.OutOrStdout(), strings.Join(render.Wrap(s.Asks, 78, fmt.Sprintf("%-10s", s.Name), "          "), "\n"))
		for i, level := range s.Levels {
			fmt.Fprintf(c.OutOrStdout(), "          level %d: %s\n", i+1, level)
		}
	}
	_, err = fmt.Fprintln(c.OutOrStdout(), strings.Join(render.Wrap(fmt.Sprintf("A drill has about a minute of questions, as many as --n says when it is given. kilopond skill %s begins one.", skill.Names()[0]), 78, "", ""), "\n"))
	return err
}

// sitSkill holds one sitting.
func sitSkill(c *cobra.Command, name string, now func() time.Time) error {
	q, err := openQuiz(c, name, now)
	if err != nil {
		return err
	}
	err = q.hold(c)
	return errors.Join(err, q.kept.Close())
}

// openQuiz checks what was asked for, and that answers can be kept, before the first question.
func openQuiz(c *cobra.Command, name string, now func() time.Time) (*quiz, error) {
	s, ok := skill.Find(skill.Name(name))
	if !ok {
		hint := "one of: " + strings.Join(skill.Names(), ", ")
		if near := scenarios.Nearest(name, skill.Names()); near != "" {
			hint = "did you mean kilopond skill " + near + "?"
		}
		return nil, usage(hint, "skill %q: none of that name", name)
	}
	q := &quiz{skill: s, now: now}
	var err error
	if q.format, err = format(c); err != nil {
		return nil, err
	}
	beats, err := c.Flags().GetString("beats")
	must(err)
	if beats != "marks" && beats != "list" {
		return nil, usage("marks or list", "--beats %q: not a way to show beats", beats)
	}
	q.list = beats == "list"
	n, err := c.Flags().GetInt("n")
	must(err)
	if n < 0 || n > mostQuestions {
		return nil, usage(fmt.Sprintf("1 to %d", mostQuestions), "--n %d: out of range", n)
	}
	if n == 0 {
		n = s.N
	}
	level, err := c.Flags().GetInt("level")
	must(err)
	if level < 0 || level > skill.Levels {
		return nil, usage(fmt.Sprintf("1 to %d", skill.Levels), "--level %d: out of range", level)
	}
	if q.book, err = rules(c); err != nil {
		return nil, err
	}
	seed, ok, err := seed(c)
	if err != nil {
		return nil, err
	}
	if !ok {
		seed = randomSeed()
	}
	if q.kept, q.answers, err = openProgress(c); err != nil {
		return nil, err
	}
	if q.level = level; level == 0 {
		q.level = standingOf(q.answers, s.Name).Level
	}
	q.seed, q.seeds = seed, s.Seeds(seed, q.level, n)
	return q, nil
}

// openProgress opens the student's own file.
func openProgress(c *cobra.Command) (*filelog.Progress, []exercises.Answered, error) {
	path, err := progressPath(c)
	if err != nil {
		return nil, nil, err
	}
	kept, answers, aside, err := filelog.OpenProgress(path)
	switch {
	case errors.Is(err, exercises.ErrLocked):
		return nil, nil, &hinted{fmt.Errorf("%s: your answers are open in another window", path), "close the other window first"}
	case err != nil:
		return nil, nil, &hinted{fmt.Errorf("your answers cannot be kept: %w", err), "give a file in a folder that can be written to: --progress FILE"}
	}
	if aside != "" {
		c.PrintErrf("note: %s was damaged; it is kept as it was in %s\nnote: %s in it hold and go on\n", path, aside, howMany(len(answers), "answer"))
	}
	return kept, answers, nil
}

func howMany(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// standingOf is where the student stands in one skill.
func standingOf(answers []exercises.Answered, n skill.Name) skill.Standing {
	for _, s := range skill.Fold(answers) {
		if s.Skill == n {
			return s
		}
	}
	panic("kilopond: no skill " + string(n))
}

// A quiz is one sitting of one skill.
type quiz struct {
	skill   skill.Skill
	book    grader.Rulebook
	seed    scenarios.Seed
	seeds   []scenarios.Seed
	level   int
	list    bool
	format  render.Format
	kept    *filelog.Progress
	answers []exercises.Answered // everything that was answered before
	given   []exercises.Answered // at this sitting
	now     func() time.Time
}

// hold asks until all is answered, the student leaves, or the input ends; then tells how it went.
func (q *quiz) hold(c *cobra.Command) error {
	told := c.OutOrStdout()
	if q.format != render.Text {
		told = c.ErrOrStderr() // the result alone goes to stdout
	}
	done := make(chan struct{})
	defer close(done)
	p := &prompter{ctx: c.Context(), out: told, echo: !isTerminal(c), lines: dialogue.Lines(c.InOrStdin(), done), list: q.list, rules: numberedRules(q.book)}
	if err := q.ask(p); err != nil {
		return err
	}
	return q.tell(c)
}

func (q *quiz) ask(p *prompter) error {
	p.say(render.Wrap(fmt.Sprintf("%s, level %d of %d: %s. %s. `help` and `rules` at every prompt; `quit` or Ctrl-D leaves, what is answered is kept.",
		capital(string(q.skill.Name)), q.level, skill.Levels, q.skill.Levels[q.level-1], capital(howMany(len(q.seeds), "question"))), 78, "", "")...)
	p.say(render.Wrap(render.Caution, 78, "", "")...)
	m := skill.NewMaker(q.book)
	began := q.now()
	for i, seed := range q.seeds {
		it, err := m.Item(q.skill.Name, seed, q.level)
		if err != nil {
			return &hinted{err, "these house rules leave no such question; another --rulebook may"}
		}
		p.say("", fmt.Sprintf("Question %d of %d", i+1, len(q.seeds)))
		a, err := p.question(it)
		if errors.Is(err, errLeft) {
			p.say("", "Left. What was answered is kept.")
			return p.err
		}
		if err != nil {
			return err
		}
		v := it.Judge(a)
		kept := exercises.Answered{At: q.now(), Sitting: began, Skill: string(q.skill.Name), Seed: seed, Level: q.level, Kind: it.Kind,
			Rulebook: q.book.Hash(), Answer: a.String(), Right: v.Right, Credit: v.Credit}
		if err := q.kept.Append(kept); err != nil {
			return &hinted{fmt.Errorf("that could not be kept, so it does not count: %w", err), "what was answered before is kept in " + q.kept.Path()}
		}
		q.given = append(q.given, kept)
		p.verdict(v)
	}
	return p.err
}
