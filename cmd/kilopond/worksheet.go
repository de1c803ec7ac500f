package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/paper"
	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/inorder"
	"kilopond/scenarios"
)

// mostWorksheets in one stack. Source: [CHOICE-PACK].
const mostWorksheets = 500

func newWorksheet() *cobra.Command {
	const like = "kilopond worksheet --n 24 --out sheets.pdf --keys keys.pdf"
	c := &cobra.Command{
		Use:   "worksheet",
		Short: "Paper for the lab: data sheets, partners' cards, crew cards, the examiner's checklist, and keys",
		Long: "Paper for a lab without a screen, as PDF. Each student gets another person: a leaf with the data sheet, graph paper and room for the\n" +
			"calculation, and a card for a partner, who says and shows in each minute what the person would, also when another load is set or the test is not\n" +
			"ended. At the end, once for the class: cards for the crew and the examiner's checklist. Every paper bears the code that its key has; keys go to a\n" +
			"file of their own. All is made for printing on both sides.\n\n" +
			"--given prints sheets with the readings on them, for an exam without partners. --answers writes a CSV to type in what comes back, for grade sheet.\n" +
			"The people are balanced as in packs. The same --seed, rules, cases and number give the same bytes.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, like),
	}
	f := c.Flags()
	wholeFlag(f, "n", 0, "how many sheets, when there is no --roster")
	f.String("mix", "", "draw cases: teaching (40 % with something to notice; usual), graded, natural (about 90 % uneventful)")
	f.StringSlice("cases", nil, "instead of --mix: these cases, in turn: names, files of your own, or a folder of them")
	f.String("roster", "", "class list, a sheet for each student: a spreadsheet's CSV, or OneRoster: users.csv, a folder, or the zip")
	f.String("class", "", "with OneRoster's folder or zip: sourcedId of the class")
	f.String("key", "", "heading of the roster's column that your gradebook is keyed by (otherwise the likeliest)")
	f.String("title", "", "what stands at the top of each sheet")
	f.String("paper", "a4", "size of the paper: "+strings.Join(paper.Sizes(), " or "))
	f.Bool("given", false, "print the readings on the sheets, and no cards")
	f.String("out", "", "write the stack to this PDF")
	f.String("keys", "", "write the keys to this PDF")
	f.String("answers", "", "write this CSV, to be filled in with what the students wrote")
	f.Bool("force", false, "write over files that exist")
	must(c.RegisterFlagCompletionFunc("mix", completeWords(scenarios.CaseMixes())))
	must(c.RegisterFlagCompletionFunc("cases", completeCases))
	addSeed(c)
	addRules(c)
	c.RunE = worksheet
	return c
}

// worksheetFiles are the files that were asked for.
type worksheetFiles struct {
	out, keys, answers string
	force              bool
}

func worksheetFilesOf(c *cobra.Command) (worksheetFiles, error) {
	text := func(name string) string {
		s, err := c.Flags().GetString(name)
		must(err)
		return s
	}
	w := worksheetFiles{out: text("out"), keys: text("keys"), answers: text("answers")}
	var err error
	w.force, err = c.Flags().GetBool("force")
	must(err)
	if w.out == "" || w.keys == "" {
		return w, usage("for example --out sheets.pdf --keys keys.pdf", "worksheet: --out and --keys say where the sheets and their keys go")
	}
	paths := []string{w.out, w.keys}
	if w.answers != "" {
		paths = append(paths, w.answers)
	}
	for i, p := range paths {
		if slices.Contains(paths[:i], p) {
			return w, usage("give each its own name", "%s is named twice", p)
		}
		if err := canWrite(p, w.force); err != nil {
			return w, err
		}
	}
	return w, nil
}

func worksheet(c *cobra.Command, _ []string) error {
	files, err := worksheetFilesOf(c)
	if err != nil {
		return err
	}
	size, err := c.Flags().GetString("paper")
	must(err)
	if !slices.Contains(paper.Sizes(), size) {
		return usage(strings.Join(paper.Sizes(), " or "), "--paper %q: not a size of paper", size)
	}
	book, err := rules(c)
	if err != nil {
		return err
	}
	s, seeded, err := seed(c)
	if err != nil {
		return err
	}
	if !seeded {
		s = randomSeed()
	}
	plan, err := worksheetPlan(c)
	if err != nil {
		return err
	}
	roster, err := worksheetRoster(c)
	if err != nil {
		return err
	}
	given, err := c.Flags().GetBool("given")
	must(err)
	title, err := c.Flags().GetString("title")
	must(err)
	if title = strings.TrimSpace(title); title == "" {
		title = "Cycle test on paper"
	}
	if len([]rune(title)) > 80 {
		return usage("80 letters at most", "--title: %d letters", len([]rune(title)))
	}
	if no, err := paper.Unset(title); err != nil || len(no) > 0 {
		return errors.Join(err, usage("give it in Latin, Greek or Cyrillic letters", "--title %q: the paper's typeface cannot set it", title))
	}
	seats, err := worksheetSeats(c.Context(), plan, book, s, len(roster.Entrants))
	if err != nil {
		return err
	}
	who, err := onPaper(c, roster.Entrants, plan.Cases)
	if err != nil {
		return err
	}
	stack := paper.Stack{Title: title, Caution: render.Caution, Size: size, Book: book, Given: given}
	err = inorder.Each(c.Context(), len(seats), func(i int) (paper.Worksheet, error) {
		card, err := grader.NewCard(book, seats[i].one.Draw(seats[i].seed))
		return paper.Worksheet{Code: seats[i].code, Student: who[i].Name, Group: who[i].Group, Card: card}, err
	}, func(_ int, w paper.Worksheet) error {
		stack.Sheets = append(stack.Sheets, w)
		return nil
	})
	if err != nil {
		return err
	}
	if err := files.write(c.Context(), stack, roster); err != nil {
		return err
	}
	for _, n := range roster.Notes {
		c.PrintErrf("note: %s\n", n)
	}
	c.PrintErrf("kept: %s: %s; %s: the keys, which tell everything; --seed %d makes the same again\n", files.out, howMany(len(stack.Sheets), "sheet"), files.keys, s)
	return nil
}

// onPaper is who stands on the sheets. A name that the typeface cannot set is not put there as boxes: the key of the gradebook takes its place, and the
// instructor is told, as of a case in such letters.
func onPaper(c *cobra.Command, all []exercises.Entrant, cases []scenarios.Case) ([]exercises.Entrant, error) {
	var texts, keys []string
	for _, e := range all {
		texts = append(texts, e.Name, e.Group)
	}
	for _, one := range cases {
		texts = append(texts, one.File)
	}
	no, err := paper.Unset(texts...)
	if err != nil {
		return nil, err
	}
	who := slices.Clone(all)
	for i, e := range who {
		if slices.Contains(no, e.Name) {
			who[i].Name, keys = e.Key, append(keys, e.Key)
		}
		if slices.Contains(no, e.Group) {
			who[i].Group = ""
		}
	}
	if len(keys) > 0 {
		c.PrintErrf("note: the paper's typeface cannot set the names of %s, so that their papers bear the key instead: %s\n", howMany(len(keys), "student"), strings.Join(keys, ", "))
	}
	for _, one := range cases {
		if slices.Contains(no, one.File) {
			c.PrintErrf("note: case %s is written in letters that the paper's typeface cannot set: each stands as a box\n", one.ID)
		}
	}
	return who, nil
}

// worksheetPlan reads which people may come.
func worksheetPlan(c *cobra.Command) (exercises.Plan, error) {
	var plan exercises.Plan
	mix, err := c.Flags().GetString("mix")
	must(err)
	ids, err := c.Flags().GetStringSlice("cases")
	must(err)
	if mix != "" && len(ids) > 0 {
		return plan, usage("--mix teaching draws people; --cases uneventful,monday-six takes these in turn", "worksheet: either --mix or --cases")
	}
	if len(ids) == 0 {
		if mix == "" {
			mix = string(scenarios.Teaching)
		}
		var words []string
		for _, m := range scenarios.CaseMixes() {
			words = append(words, string(m))
		}
		if !slices.Contains(words, mix) {
			return plan, usage(nearestOf(mix, words), "--mix %q: no mix of that name", mix)
		}
		plan.Mix = scenarios.CaseMix(mix)
		plan.Cases, err = scenarios.Library()
		return plan, err
	}
	plan.Cases, err = casesNamed(ids, "each case once: they are taken in turn")
	return plan, err
}

// worksheetRoster is who gets a sheet: a class, or so many without a name.
func worksheetRoster(c *cobra.Command) (exercises.Roster, error) {
	n, err := c.Flags().GetInt("n")
	must(err)
	path, err := c.Flags().GetString("roster")
	must(err)
	var r exercises.Roster
	switch {
	case path != "" && c.Flags().Changed("n"):
		return r, usage("the roster is the number", "worksheet: either --n or --roster")
	case path != "":
		r, err = rosterFlag(c)
		if err == nil && len(r.Entrants) > mostWorksheets {
			err = usage("divide the class", "%d students: at most %d sheets in one stack", len(r.Entrants), mostWorksheets)
		}
		return r, err
	case !c.Flags().Changed("n"):
		return r, usage("for example --n 24, or --roster class.csv", "worksheet: --n or --roster says how many")
	case n < 1 || n > mostWorksheets:
		return r, usage(fmt.Sprintf("1 to %d", mostWorksheets), "--n %d: out of range", n)
	}
	r.Entrants = make([]exercises.Entrant, n)
	return r, nil
}

// write makes all files first, so that a failure leaves none of them.
func (w worksheetFiles) write(ctx context.Context, s paper.Stack, roster exercises.Roster) error {
	books := []struct {
		path string
		make func(io.Writer) error
	}{
		{w.out, func(b io.Writer) error { return paper.WriteWorksheets(b, s) }},
		{w.keys, func(b io.Writer) error { return paper.WriteKeys(b, s) }},
		{w.answers, func(b io.Writer) error { return answersCSV(b, s, roster) }},
	}
	made := make([]bytes.Buffer, len(books))
	err := inorder.Each(ctx, len(books), func(i int) (struct{}, error) {
		if books[i].path == "" {
			return struct{}{}, nil
		}
		return struct{}{}, books[i].make(&made[i])
	}, func(int, struct{}) error { return nil })
	if err != nil {
		return err
	}
	for i, b := range books {
		if b.path == "" {
			continue
		}
		if err := writeReport(b.path, w.force, func(out io.Writer) error { _, err := made[i].WriteTo(out); return err }); err != nil {
			return err
		}
	}
	return nil
}

// answersCSV is a file for grade sheet with a row for each sheet and what is known beforehand; of given readings these too.
func answersCSV(w io.Writer, s paper.Stack, roster exercises.Roster) error {
	head := append([]string{"sheet", "name", "key"}, sheetColumns()[1:]...)
	rows := [][]string{head}
	for i, one := range s.Sheets {
		k := one.Card
		at := map[string]string{
			"sheet": one.Code, "name": harmless(one.Student), "key": harmless(roster.Entrants[i].Key), "age_y": fmt.Sprint(k.Subject.AgeY), "sex": k.Subject.Sex,
			"mass_kg": fmt.Sprintf("%.1f", k.Mass),
		}
		if s.Given {
			fillGiven(at, k.Hand)
		}
		row := make([]string, len(head))
		for j, h := range head {
			row[j] = at[h]
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// fillGiven puts the readings that stand on an exam's sheet into its row.
func fillGiven(at map[string]string, h grader.HandSheet) {
	if h.RestHR > 0 {
		at["rest_hr_bpm"] = fmt.Sprintf("%.0f", h.RestHR)
	}
	if h.RestBP.Systolic > 0 {
		at["rest_bp_mmhg"] = fmt.Sprintf("%.0f/%.0f", h.RestBP.Systolic, h.RestBP.Diastolic)
	}
	for i, st := range h.Stages {
		c := stageColumns(i + 1)
		var pulses, pressures []string
		for _, p := range st.Pulses {
			switch {
			case p.HR == 0:
				pulses = append(pulses, "-")
			case p.Beats > 0:
				pulses = append(pulses, fmt.Sprintf("%d=", p.Beats)) // the sheet has the count; the rate is the student's
			default:
				pulses = append(pulses, fmt.Sprint(float64(p.HR)))
			}
		}
		for _, p := range st.Pressures {
			pressures = append(pressures, fmt.Sprintf("%.0f/%.0f", p.Systolic, p.Diastolic))
		}
		at[c[0]], at[c[1]], at[c[2]] = fmt.Sprintf("%.0f", st.WorkRate), strings.Join(pulses, " "), strings.Join(pressures, " ")
	}
}
