package main

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

func newAssignShow() *cobra.Command {
	c := &cobra.Command{
		Use:   "show PACK",
		Short: "What a pack asks for, without spoiling it; with --key whose it is and who comes",
		Long: "What a pack asks for, without spoiling it. With the instructor's own file as --key: whose it is, who comes, and what is the matter with\n" +
			"them.\n\n" + packLimits,
		Args: args(cobra.ExactArgs(1), "kilopond assign show packs/pack-7K2M.json"),
	}
	c.Flags().String("key", "", "the instructor's own file, assignment.json: spoils everything")
	c.Flags().Bool("rules", false, "print the page of rules that goes with the pack")
	addFormat(c)
	c.RunE = assignShow
	return c
}

// packShown is the result of assign show.
type packShown struct {
	Label        string               `json:"label"`
	Assignment   string               `json:"assignment"`
	Title        string               `json:"title"`
	Subjects     int                  `json:"subjects"`
	Attempts     int                  `json:"attempts"`
	From         string               `json:"from"`
	Until        *string              `json:"until"`
	SittingMin   *float64             `json:"sitting_min"` // with the student's own factor; null: no limit
	TimeFactor   *float64             `json:"time_factor"` // null: no limit
	Skills       []string             `json:"skills"`
	Coach        bool                 `json:"coach"`
	Report       exercises.ReportRule `json:"report"`
	Late         exercises.LateRule   `json:"late"`
	LatePercent  *float64             `json:"late_percent_per_day"`
	Rulebook     string               `json:"rulebook"`
	RulebookHash string               `json:"rulebook_hash"`
	Model        int                  `json:"model"`
	Hash         string               `json:"hash"`
	Student      *shownStudent        `json:"student"` // null without --key
	People       []shownSubject       `json:"people"`  // null without --key
}

type shownStudent struct {
	Name  string `json:"name"`
	Key   string `json:"key"`
	Group string `json:"group"`
	Code  string `json:"code"`
}

type shownSubject struct {
	Place      int               `json:"place"`
	Try        int               `json:"try"`
	Case       string            `json:"case"`
	Seed       scenarios.Seed    `json:"seed"`
	Stratum    scenarios.Stratum `json:"stratum"`
	Difficulty int               `json:"difficulty"`
	Band       *int              `json:"band"`
	Scored     bool              `json:"scored"`
	Spoiler    string            `json:"spoiler"`
}

func assignShow(c *cobra.Command, given []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	key, err := c.Flags().GetString("key")
	must(err)
	page, err := c.Flags().GetBool("rules")
	must(err)
	if page && (key != "" || f != render.Text) {
		return usage("kilopond assign show PACK --rules", "--rules prints a page and goes with nothing else")
	}
	p, err := readPack(given[0])
	if err != nil {
		return err
	}
	book, err := grader.FromJSON(p.Rulebook)
	if err != nil {
		return &hinted{fmt.Errorf("%s: its rules cannot be used here: %w", given[0], err), "use the version of the program that made it"}
	}
	if page {
		_, err := c.OutOrStdout().Write(rulesText(p.Terms, book))
		return err
	}
	r := shown(p, book)
	if key != "" {
		if err := r.spoil(key, p); err != nil {
			return err
		}
		if f != render.JSON {
			return render.Write(c.OutOrStdout(), f, r.people(c), nil)
		}
	}
	t := render.Table{Header: []string{"what", "is"}, Wrap: 1, Width: 56}
	t.Rows = append(t.Rows, []string{"title", r.Title}, []string{"pack", r.Label}, []string{"people", strconv.Itoa(r.Subjects)})
	terms := p.Terms
	terms.Attempts, terms.SittingMin = p.Tries(), int(p.Limit().Minutes())
	for _, line := range termsInWords(terms) {
		t.Rows = append(t.Rows, []string{line[0], line[1]})
	}
	if own := ownTime(p.TimeFactor); own != "" {
		t.Rows = append(t.Rows, []string{"your time", own})
	}
	t.Rows = append(t.Rows, []string{"rulebook", fmt.Sprintf("%s (%.12s); --rules prints the page", r.Rulebook, r.RulebookHash)},
		[]string{"assignment", r.Assignment}, []string{"hash", fmt.Sprintf("%.12s", r.Hash)})
	return render.Write(c.OutOrStdout(), f, t, r)
}

func shown(p exercises.Pack, book grader.Rulebook) packShown {
	r := packShown{
		Label: p.Label, Assignment: p.Assignment, Title: p.Title, Subjects: p.Subjects, Attempts: p.Tries(), From: p.From.Format(stamp), Skills: p.Skills,
		Coach: p.Coach, Report: p.Report, Late: p.Late, Rulebook: book.Name, RulebookHash: p.RulebookHash, Model: p.Model, Hash: p.Hash(),
	}
	if r.Skills == nil {
		r.Skills = []string{}
	}
	if !p.Until.IsZero() {
		text := p.Until.Format(stamp)
		r.Until = &text
	}
	if limit := p.Limit().Minutes(); limit > 0 {
		r.SittingMin = &limit
	}
	if p.TimeFactor > 0 {
		r.TimeFactor = &p.TimeFactor
	}
	if p.Late == exercises.LateDeduct {
		r.LatePercent = &p.LatePercent
	}
	return r
}

// readAssignment reads the instructor's own file.
func readAssignment(path string) (exercises.Assignment, error) {
	data, err := readSmall(path, 256<<20)
	if err != nil {
		return exercises.Assignment{}, err
	}
	a, err := exercises.ReadAssignment(data)
	if err != nil {
		return a, &hinted{fmt.Errorf("%s: %w", path, err), "the instructor's own file is assignment.json, beside the packs"}
	}
	return a, nil
}

// spoil adds what only the instructor's file knows.
func (r *packShown) spoil(key string, p exercises.Pack) error {
	a, err := readAssignment(key)
	if err != nil {
		return err
	}
	s, ok := a.ByPack(p.Hash())
	if !ok {
		return &hinted{fmt.Errorf("%s: none of its packs is this one: it is of another assignment, or was edited", key),
			"the pack says assignment " + p.Assignment + ", the file " + a.Assignment}
	}
	own, err := a.Own()
	if err != nil {
		return &hinted{fmt.Errorf("%s: %w", key, err), "use the version of the program that made it"}
	}
	r.Student = &shownStudent{s.Name, s.Key, s.Group, s.Code}
	r.People = []shownSubject{}
	for i, x := range s.Subjects {
		for j, d := range x.Tries {
			one := shownSubject{Place: i + 1, Try: j + 1, Case: d.Case, Seed: d.Seed, Stratum: x.Stratum, Difficulty: x.Difficulty, Scored: x.Scored}
			if d.Band > 0 {
				one.Band = &d.Band
			}
			if c, err := (caseShelf{own}).load(d.Case); err == nil {
				one.Spoiler = c.Spoiler
			}
			r.People = append(r.People, one)
		}
	}
	return nil
}

func (r *packShown) people(c *cobra.Command) render.Table {
	c.PrintErrf("%s: %s (%s), code %s\n", r.Title, r.Student.Name, r.Student.Key, r.Student.Code)
	t := render.Table{Header: []string{"place", "try", "case", "kind", "difficulty", "row", "scored", "what is so"}, Right: []bool{true, true, false, false, true, true}, Keys: 2, Wrap: 7, Width: 30, Spare: []string{"row"}}
	for _, x := range r.People {
		row := ""
		if x.Band != nil {
			row = strconv.Itoa(*x.Band)
		}
		scored := "no"
		if x.Scored {
			scored = "yes"
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(x.Place), strconv.Itoa(x.Try), x.Case, string(x.Stratum), strconv.Itoa(x.Difficulty), row, scored, x.Spoiler})
	}
	return t
}
