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

func newSkill() *cobra.Command {
	c := &cobra.Command{
		Use:   "skill [NAME]",
		Short: "Short drills on one decision; alone: what is due",
		Long: "Short drills on one decision, about a minute each: " + strings.Join(skill.Names(), ", ") + ".\n" +
			"`mix` asks what is due in turn. Each answer is explained at once. It gets harder above nine right in ten and easier below\n" +
			"seven; until your first wrong answer, four right ones make it harder. Without a name: what is due, and how it went.\n\n" + render.Caution,
		Args: args(cobra.MaximumNArgs(1), "kilopond skill "+skill.Names()[0]),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
			return append(skill.Names(), string(skill.Mix)), cobra.ShellCompDirectiveNoFileComp
		},
	}
	wholeFlag(c.Flags(), "n", 0, "how many questions; 0: about a minute of them")
	wholeFlag(c.Flags(), "level", 0, fmt.Sprintf("1 to %d; 0: the level that your answers have earned", skill.Levels))
	c.Flags().String("beats", "marks", "marks, or list: beats and sounds as lists of times, for a screen reader")
	c.Flags().String("progress", "", "the file in which your answers are kept; it is made when it is not there")
	addSeed(c)
	c.Flags().Lookup("seed").Usage = "which questions: a whole number, the same one for the same questions at the same level"
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, given []string) error {
		if len(given) == 0 {
			return showDue(c, wallClock(c))
		}
		return sitSkill(c, given[0])
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
	_, err = fmt.Fprintln(render.NewNarrow(c.OutOrStdout()), strings.Join(render.Wrap(fmt.Sprintf("A drill has about a minute of questions, or as many as --n says. kilopond skill %s begins one; kilopond skill mix asks what is due, in turn.", skill.Names()[0]), 78, "", ""), "\n"))
	return err
}

// sitSkill holds one sitting.
func sitSkill(c *cobra.Command, name string) error {
	q, err := openQuiz(c, name)
	if err != nil {
		return err
	}
	err = q.hold(c)
	return errors.Join(err, q.kept.Close())
}

// openQuiz checks what was asked for, and that answers can be kept, before the first question.
func openQuiz(c *cobra.Command, name string) (*quiz, error) {
	s, ok := skill.Find(skill.Name(name))
	names := append(skill.Names(), string(skill.Mix))
	if !ok && name != string(skill.Mix) {
		hint := "one of: " + strings.Join(names, ", ")
		if near := scenarios.Nearest(name, names); near != "" {
			hint = "did you mean kilopond skill " + near + "?"
		}
		return nil, usage(hint, "skill %q: none of that name", name)
	}
	q := &quiz{name: skill.Name(name), now: func() time.Time { return wallClock(c) }}
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
	level, err := c.Flags().GetInt("level")
	must(err)
	switch {
	case level < 0 || level > skill.Levels:
		return nil, usage(fmt.Sprintf("1 to %d", skill.Levels), "--level %d: out of range", level)
	case level > 0 && !ok:
		return nil, usage("kilopond skill NAME --level N", "--level: a mix asks each skill at the level that you have earned")
	}
	if q.book, err = rules(c); err != nil {
		return nil, err
	}
	var given bool
	if q.seed, given, err = seed(c); err != nil {
		return nil, err
	}
	if !given {
		q.seed = randomSeed()
	}
	if q.kept, q.answers, err = openProgress(c); err != nil {
		return nil, err
	}
	if !ok {
		q.mix(n)
		return q, nil
	}
	if level == 0 {
		level = standingOf(q.answers, s.Name).Level
	}
	if n == 0 {
		n = s.N
	}
	q.tasks = s.Tasks(q.seed, level, n)
	return q, nil
}

// mix takes the skills that are due; all of them when none is. Without a number each comes twice.
func (q *quiz) mix(n int) {
	all := skill.Fold(q.answers)
	var due []skill.Standing
	for _, s := range all {
		if s.DueAt(q.now()) {
			due = append(due, s)
		}
	}
	if len(due) == 0 {
		due = all
	}
	if n == 0 {
		n = 2 * len(due)
	}
	q.tasks = skill.MixTasks(due, q.seed, n)
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

// A quiz is one sitting.
type quiz struct {
	name    skill.Name // of the skill, or mix
	book    grader.Rulebook
	seed    scenarios.Seed
	tasks   []skill.Task
	list    bool
	format  render.Format
	kept    *filelog.Progress
	answers []exercises.Answered // everything that was answered before
	given   []exercises.Answered // at this sitting
	now     func() time.Time
}

// title says what is asked at this sitting.
func (q *quiz) title() string {
	if q.name == skill.Mix {
		return "Mix, each skill at your level"
	}
	s, _ := skill.Find(q.name)
	level := q.tasks[0].Level
	return fmt.Sprintf("%s, level %d of %d: %s", capital(string(q.name)), level, skill.Levels, s.Levels[level-1])
}

// hold asks until all is answered, the student leaves, or the input ends; then tells how it went.
func (q *quiz) hold(c *cobra.Command) error {
	told := c.OutOrStdout()
	if q.format != render.Text {
		told = c.ErrOrStderr() // the result alone goes to stdout
	}
	done := make(chan struct{})
	defer close(done)
	p := &prompter{ctx: c.Context(), out: render.NewNarrow(told), echo: !isTerminal(c), lines: dialogue.Lines(c.InOrStdin(), done), list: q.list, rules: numberedRules(q.book)}
	if err := q.ask(p); err != nil {
		return err
	}
	return q.tell(c)
}

func (q *quiz) ask(p *prompter) error {
	p.say(render.Wrap(fmt.Sprintf("%s. %s. `help` and `rules` at every prompt; `quit` or Ctrl-D leaves, what is answered is kept.",
		q.title(), capital(howMany(len(q.tasks), "question"))), 78, "", "")...)
	p.say(render.Wrap(render.Caution, 78, "", "")...)
	m := skill.NewMaker(q.book)
	began := q.now()
	for i, task := range q.tasks {
		it, err := m.Item(task.Skill, task.Seed, task.Level)
		if err != nil {
			return &hinted{err, "these house rules leave no such question; another --rulebook may"}
		}
		head := fmt.Sprintf("Question %d of %d", i+1, len(q.tasks))
		if q.name == skill.Mix {
			head += fmt.Sprintf(": %s, level %d", task.Skill, task.Level)
		}
		p.say("", head)
		a, err := p.question(it)
		if errors.Is(err, errLeft) {
			p.say("", "Left. What was answered is kept.")
			return p.err
		}
		if err != nil {
			return err
		}
		v := it.Judge(a)
		kept := exercises.Answered{At: q.now(), Sitting: began, Skill: string(task.Skill), Seed: task.Seed, Level: task.Level, Kind: it.Kind,
			Rulebook: q.book.Hash(), Answer: a.String(), Right: v.Right, Credit: v.Credit}
		if err := q.kept.Append(kept); err != nil {
			return &hinted{fmt.Errorf("that could not be kept, so it does not count: %w", err), "what was answered before is kept in " + q.kept.Path()}
		}
		q.given = append(q.given, kept)
		p.verdict(v)
	}
	return p.err
}
