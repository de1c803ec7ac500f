package main

import (
	crand "crypto/rand"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/inorder"
	"kilopond/grader/skill"
	"kilopond/scenarios"
)

func newAssign() *cobra.Command {
	const ways = "kilopond assign new, add, show or retest"
	c := &cobra.Command{Use: "assign", Short: "Packs for a class: one for each student, each with other people", Args: args(cobra.NoArgs, ways)}
	c.RunE = func(*cobra.Command, []string) error { return usage(ways, "assign: new, add, show or retest?") }
	c.AddCommand(newAssignNew(), newAssignAdd(), newAssignShow(), newAssignRetest())
	return c
}

// packLimits is said wherever packs are made.
const packLimits = `A pack holds no name. Its people are sealed under the student's code: who has not got the code cannot read which cases come, or how many must
be stopped. It is a hurdle and no secret: a program on the student's own machine can open the pack with the code; an attempt's file names
its case, and what is true of the person once it is handed in; a clock can be set, and a place worked twice on two machines (grade names
that). Work that decides anything belongs under supervision.`

// rosterColumns is said where a class list is read for packs.
const rosterColumns = `The class list has a heading line with a column for the name (or given name and family name) and one for the key of your gradebook (student ID,
username, email …). It may have a group, a time factor (1.25 is a quarter more; none: no limit), extra attempts, and an end of one's own (until).
Several spellings of a heading are known; what is not used is named.

A time factor lengthens what a person's clock bounds, and nothing else: the minutes of --sitting, and under drill --live the time to think, for which
the clock runs so many times slower (none: it stands). A count, a cuff, a stage take the time of the test for everybody; the short skills and
the sheets on paper have no limit of time; the end of the window is lengthened by until.`

func newAssignNew() *cobra.Command {
	c := &cobra.Command{
		Use:   "new",
		Short: "Make one pack for each student of a roster",
		Long: "Make one pack for each student of a roster, and the instructor's own file, in a new folder. Everybody gets other people; the number of\n" +
			"uneventful people, look-alikes and must-stops, the difficulty and the rows of the branch table are the same for all, and printed.\n\n" +
			rosterColumns + "\n\n" + packLimits + "\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond assign new --mix graded --roster class.csv --until 2026-12-04 --out week-9"),
	}
	f := c.Flags()
	f.String("mix", "", "draw cases: teaching (40 % with something to notice), graded (a pack of ten), natural (about 90 % uneventful)")
	wholeFlag(f, "subjects", 0, "with --mix: how many people in a pack (usually 10; natural: 20)")
	f.StringSlice("cases", nil, "instead of --mix: these cases, each once for everybody: names, files of your own, or a folder of them; packs carry yours")
	must(c.RegisterFlagCompletionFunc("mix", completeWords(scenarios.CaseMixes())))
	must(c.RegisterFlagCompletionFunc("cases", completeCases))
	addTerms(c)
	c.RunE = assignNew
	return c
}

// addTerms adds the flags that new and retest share.
func addTerms(c *cobra.Command) {
	f := c.Flags()
	addRoster(c)
	f.String("out", "", "new folder for packs, codes, rules and the instructor's file")
	f.String("title", "", "what the students read at the top")
	wholeFlag(f, "attempts", 1, "attempts at each person's place; each further one is at another person")
	f.String("from", "", "when it opens: 2026-11-23, or \"2026-11-23 08:00\" (otherwise now)")
	f.String("until", "", "when it closes; a date alone counts to its end (otherwise never)")
	wholeFlag(f, "sitting", 0, "minutes for one person by the computer's clock, times the student's own time factor; nothing is cut off, going over is named")
	f.StringSlice("skill", nil, "short skills to be shown first (kilopond skill list)")
	f.Bool("coach", false, "the students may have the coach")
	f.String("report", "", "when a student sees the report: at_once, after (the window has closed) or held (from you only); usually after, or held without --until")
	f.String("late", "refuse", "after the window: refuse, accept (named as late), or deduct=10 (per cent for each day begun)")
	must(c.RegisterFlagCompletionFunc("report", completeWords(exercises.ReportRules())))
	must(c.RegisterFlagCompletionFunc("late", completeWords(exercises.LateRules())))
	must(c.RegisterFlagCompletionFunc("skill", completeWords(skill.Names())))
	f.String("paper", "a4", "paper of the page of rules: "+strings.Join(paper.Sizes(), " or "))
	addRules(c)
	addFormat(c)
}

// addRoster adds the flags of a class list.
func addRoster(c *cobra.Command) {
	f := c.Flags()
	f.String("roster", "", "class list: a spreadsheet's CSV, or OneRoster: users.csv, a folder, or the zip")
	f.String("class", "", "with OneRoster's folder or zip: sourcedId of the class")
	f.String("key", "", "heading of the roster's column that your gradebook is keyed by (otherwise the likeliest)")
}

// completeWords offers a list of words to the shell.
func completeWords[W ~string](words []W) cobra.CompletionFunc {
	var all []cobra.Completion
	for _, w := range words {
		all = append(all, cobra.Completion(w))
	}
	return cobra.FixedCompletions(all, cobra.ShellCompDirectiveNoFileComp)
}

// An assignResult is the result of assign new, add and retest.
type assignResult struct {
	Assignment string                 `json:"assignment"`
	Title      string                 `json:"title"`
	Folder     string                 `json:"folder"`
	Students   int                    `json:"students"`
	Added      int                    `json:"added"` // packs that this command made
	Subjects   int                    `json:"subjects"`
	Attempts   int                    `json:"attempts"`
	From       string                 `json:"from"`
	Until      *string                `json:"until"`
	Report     exercises.ReportRule   `json:"report"`
	Late       exercises.LateRule     `json:"late"`
	Rulebook   string                 `json:"rulebook"`
	Retest     *exercises.Retest      `json:"retest"`
	Balance    []exercises.BalanceRow `json:"balance"`
	Notes      []string               `json:"notes"`
}

func assignNew(c *cobra.Command, _ []string) error {
	plan := exercises.Plan{}
	mix, err := c.Flags().GetString("mix")
	must(err)
	ids, err := c.Flags().GetStringSlice("cases")
	must(err)
	n, err := c.Flags().GetInt("subjects")
	must(err)
	switch {
	case (mix == "") == (len(ids) == 0):
		return usage("--mix graded draws ten people; --cases uneventful,monday-six gives these to everybody", "assign new: either --mix or --cases")
	case mix == "" && c.Flags().Changed("subjects"):
		return usage("the cases themselves are the number", "--subjects goes with --mix")
	case mix != "":
		words := []string{}
		for _, m := range scenarios.CaseMixes() {
			words = append(words, string(m))
		}
		if !slices.Contains(words, mix) {
			return usage(nearestOf(mix, words), "--mix %q: no mix of that name", mix)
		}
		plan.Mix, plan.Subjects = scenarios.CaseMix(mix), n
		if n == 0 {
			n = plan.Mix.Size()
		}
		if _, err := plan.Mix.Slots(n, 0); err != nil || c.Flags().Changed("subjects") && plan.Subjects < 1 {
			return usage("for example --mix teaching --subjects 5", "--subjects %d: %w", plan.Subjects, orRange(err))
		}
		if plan.Cases, err = scenarios.Library(); err != nil {
			return err
		}
	}
	if len(ids) > 0 {
		if plan.Cases, err = casesNamed(ids, "each case once: a second person of the same case is a further attempt"); err != nil {
			return err
		}
	}
	roster, err := rosterFlag(c)
	if err != nil {
		return err
	}
	book, err := rules(c)
	if err != nil {
		return err
	}
	return handOut(c, plan, roster, book)
}

func orRange(err error) error {
	if err == nil {
		return fmt.Errorf("1 or more")
	}
	return err
}

// handOut reads the terms, makes the packs and writes the folder.
func handOut(c *cobra.Command, plan exercises.Plan, roster exercises.Roster, book grader.Rulebook) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	out, err := c.Flags().GetString("out")
	must(err)
	if out == "" {
		return usage("for example --out week-9", "%s: --out says where the packs go", c.CommandPath())
	}
	if plan.Terms, err = termsFlags(c, book, len(plan.Cases), plan.Mix); err != nil {
		return err
	}
	if no, err := paper.Unset(plan.Terms.Title); err != nil {
		return err
	} else if len(no) > 0 {
		c.PrintErrln("note: the paper's typeface cannot set the title, so that rules.pdf bears the assignment's ID instead; rules.txt has it")
	}
	plan.Rules = book.Rules
	size, err := c.Flags().GetString("paper")
	must(err)
	if !slices.Contains(paper.Sizes(), size) {
		return usage(strings.Join(paper.Sizes(), " or "), "--paper %q: not a size of paper", size)
	}
	if err := freeFolder(out); err != nil {
		return err
	}
	var secret [32]byte
	if _, err := crand.Read(secret[:]); err != nil {
		return err
	}
	draft, err := exercises.NewDraft(plan, roster.Entrants, secret, wallClock(c))
	if err != nil {
		return usage("kilopond "+strings.TrimPrefix(c.CommandPath(), "kilopond ")+" --help lists what can be asked for", "%w", err)
	}
	made, students, err := drawn(c, draft)
	if err != nil {
		return err
	}
	a := draft.Finish(students)
	if err := writePacks(out, a, made, book, size); err != nil {
		return err
	}
	if err := writeAssigned(c, f, a, out, book, roster, made); err != nil {
		return err
	}
	c.PrintErrf("kept: %s: %s in packs, to be handed out with rules.pdf or rules.txt; codes.csv says which code is whose, each told to its owner only;\n"+
		"assignment.json is yours: it spoils everything, and nothing can be graded against the packs without it\n", out, howMany(len(a.Students), "pack"))
	return nil
}

// drawn makes all packs of a draft.
func drawn(c *cobra.Command, draft *exercises.Draft) (made []exercises.Made, students []exercises.Student, err error) {
	err = inorder.Each(c.Context(), draft.Len(), draft.Student, func(_ int, m exercises.Made) error {
		made, students = append(made, m), append(students, m.Student)
		return nil
	})
	return made, students, err
}

// writeAssigned prints the result with the balance of the whole class.
func writeAssigned(c *cobra.Command, f render.Format, a exercises.Assignment, out string, book grader.Rulebook, roster exercises.Roster, made []exercises.Made) error {
	r := assignResult{
		Assignment: a.Assignment, Title: a.Title, Folder: out, Students: len(a.Students), Added: len(made), Subjects: len(a.Students[0].Subjects), Attempts: a.Attempts,
		From: a.From.Format(stamp), Report: a.Report, Late: a.Late, Rulebook: book.Name, Retest: a.Retest, Balance: a.Balance(len(book.Bands)), Notes: roster.Notes,
	}
	if r.Notes == nil {
		r.Notes = []string{}
	}
	if !a.Until.IsZero() {
		text := a.Until.Format(stamp)
		r.Until = &text
	}
	t := render.Table{Header: []string{"for each student", "least", "most", "mean"}, Right: []bool{false, true, true, true}, Wrap: -1}
	for _, b := range r.Balance {
		t.Rows = append(t.Rows, []string{b.What, strconv.Itoa(b.Least), strconv.Itoa(b.Most), fmt.Sprintf("%.2f", b.Mean)})
	}
	if err := render.Write(c.OutOrStdout(), f, t, r); err != nil {
		return err
	}
	for _, n := range r.Notes {
		c.PrintErrf("note: %s\n", n)
	}
	return nil
}

// stamp is how a time is written for a machine.
const stamp = "2006-01-02T15:04:05Z07:00"
