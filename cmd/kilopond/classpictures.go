package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/page"
	"kilopond/cmd/internal/picture"
	"kilopond/grader"
)

// pictureFolder makes the folder of pictures before the work; "" is none.
func pictureFolder(path string) error {
	if path == "" {
		return nil
	}
	if err := os.MkdirAll(path, 0o755); err != nil {
		return &hinted{fmt.Errorf("the pictures cannot be written: %w", err), "give a folder that can be written to"}
	}
	return nil
}

// drawClass draws what the statistics say.
func drawClass(c *cobra.Command, folder string, s grader.ClassStatistics, entries []grader.Entry) error {
	force, err := c.Flags().GetBool("force")
	must(err)
	drawings := classPictures(s, entries)
	for _, d := range drawings {
		path := filepath.Join(folder, d.Name()+".svg")
		if err := writeReport(path, force, func(w io.Writer) error { return page.WriteSVG(w, d) }); err != nil {
			return err
		}
	}
	c.PrintErrf("pictures written: %d, in %s\n", len(drawings), folder)
	return nil
}

// classPictures are the pictures for which the class has something to show.
func classPictures(s grader.ClassStatistics, entries []grader.Entry) []picture.Drawing {
	var all []picture.Drawing
	var credits []picture.RuleCredit
	for _, i := range s.Items {
		if i.Difficulty != nil {
			credits = append(credits, picture.RuleCredit{Rule: i.Rule, Credit: *i.Difficulty, Students: i.Students})
		}
	}
	if len(credits) > 0 {
		all = append(all, picture.Decisions{Rules: credits})
	}
	pairs := map[string][]picture.Reading{}
	margins := picture.Margins{Which: "M"}
	at := map[string]int{}
	var cloud picture.Cloud
	for _, e := range entries {
		m := e.Mark
		for _, p := range m.Pulse {
			pairs["pulse"] = append(pairs["pulse"], picture.Reading(p))
		}
		for _, p := range m.Systolic {
			pairs["systolic"] = append(pairs["systolic"], picture.Reading(p))
		}
		for _, p := range m.Diastolic {
			pairs["diastolic"] = append(pairs["diastolic"], picture.Reading(p))
		}
		if m.Estimate != nil && m.True != nil {
			pairs["estimate"] = append(pairs["estimate"], picture.Reading{Read: *m.Estimate, True: *m.True})
		}
		i, ok := at[e.Student]
		if !ok {
			i = len(margins.Students)
			at[e.Student] = i
			margins.Students = append(margins.Students, picture.StudentMargins{Student: e.Student})
		}
		if off := m.Margins.M.MlKgMin; off != nil {
			margins.Students[i].Margins = append(margins.Students[i].Margins, *off)
		}
		for _, p := range m.Stages {
			if p.HR > 0 {
				cloud.Stages = append(cloud.Stages, picture.Reach{WorkRate: float64(p.WorkRate), HR: float64(p.HR)})
			}
		}
	}
	for _, a := range s.Agreement {
		what := map[string]string{"pulse": "pulse", "systolic": "systolic pressure", "diastolic": "diastolic pressure", "estimate": "estimates"}[a.What]
		all = append(all, picture.Agreement{What: what, Unit: a.Unit, Pairs: pairs[a.What], Bias: a.Bias, LimitLow: a.LoALow, High: a.LoAHigh})
	}
	slices.SortFunc(margins.Students, func(a, b picture.StudentMargins) int { return cmp.Compare(a.Student, b.Student) })
	if s.Margins[1].N > 0 {
		all = append(all, margins)
	}
	if len(cloud.Stages) > 0 {
		all = append(all, cloud)
	}
	return all
}
