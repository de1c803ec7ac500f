package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

func newEstimate() *cobra.Command {
	var sexText string
	var age, mass, rest float64
	var stages []string
	c := &cobra.Command{
		Use:   "estimate --age-y Y --sex M|F --mass-kg KG --stage WORKRATE:HR …",
		Short: "Work the calculation for a sheet typed in, step by step",
		Long: "Work the calculation for a sheet typed in. Each --stage is a work rate in kg·m/min and a steady heart rate in bpm,\n" +
			"for example --stage 300:112 --stage 450:127, each harder than the one before. What cannot be estimated says why.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "stages are given as --stage WORKRATE:HR"),
	}
	decimalVar(c.Flags(), &age, "age-y", 0, "age in years")
	c.Flags().StringVar(&sexText, "sex", "", "M or F")
	decimalVar(c.Flags(), &mass, "mass-kg", 0, "body mass in kg")
	decimalVar(c.Flags(), &rest, "rest-hr-bpm", 0, "resting heart rate, needed for a ceiling from reserve")
	c.Flags().StringArrayVar(&stages, "stage", nil, "WORKRATE:HR in kg·m/min and bpm, once for each stage in order")
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, b, err := formatAndRules(c)
		if err != nil {
			return err
		}
		for _, name := range []string{"age-y", "sex", "mass-kg", "stage"} {
			if !c.Flags().Changed(name) {
				return usage("kilopond estimate --age-y 40 --sex F --mass-kg 70 --stage 300:112 --stage 450:127", "--%s is missing", name)
			}
		}
		p := protocol.Person{Age: unit.Age(age), Mass: unit.Mass(mass), RestHR: unit.HR(rest)}
		if p.Sex, err = sex(sexText); err != nil {
			return err
		}
		if err := finite("age-y", age, 18, 79); err != nil {
			return err
		}
		if err := finite("mass-kg", mass, 30, 250); err != nil {
			return err
		}
		if b.Ceiling.Of == "reserve" || c.Flags().Changed("rest-hr-bpm") {
			if err := finite("rest-hr-bpm", rest, 30, 140); err != nil {
				return err
			}
		}
		points, err := stagePoints(stages)
		if err != nil {
			return err
		}
		a := protocol.Estimate(b.Rules, p, points)
		if f == render.Text {
			return estimateText(c, a)
		}
		return render.Write(c.OutOrStdout(), f, estimateTable(a), a)
	}
	return c
}

// stagePoints reads WORKRATE:HR pairs.
func stagePoints(pairs []string) ([]protocol.StagePoint, error) {
	var all []protocol.StagePoint
	for i, pair := range pairs {
		w, h, ok := strings.Cut(pair, ":")
		work, err1 := decimal(w)
		hr, err2 := decimal(h)
		if !ok || err1 != nil || err2 != nil {
			return nil, usage("a work rate and a heart rate, for example --stage 300:112", "--stage %q: not WORKRATE:HR", pair)
		}
		if work <= 0 || work > 3000 || hr < 30 || hr > 240 {
			return nil, usage("work rates up to 3000 kg·m/min, heart rates 30 to 240 bpm", "--stage %q: out of range", pair)
		}
		if i > 0 {
			before := all[i-1]
			last := before.Minutes[0]
			if unit.WorkRate(work) <= before.WorkRate {
				return nil, usage("each stage once, in order, each harder than the one before",
					"--stage %q: stage %d at %g kg·m/min is not harder than stage %d at %g", pair, i+1, work, i, float64(before.WorkRate))
			}
			if unit.HR(hr) < last {
				return nil, usage("a heart rate that falls as work rises gives no line: look at the reading again, or leave that stage out",
					"--stage %q: %g bpm at more work, after %g bpm in stage %d", pair, hr, float64(last), i)
			}
		}
		all = append(all, protocol.StagePoint{Stage: i + 1, WorkRate: unit.WorkRate(work), Minutes: []unit.HR{unit.HR(hr)}, Settled: true})
	}
	return all, nil
}

// estimateText prints the steps, one under the other.
func estimateText(c *cobra.Command, a protocol.Answer) error {
	w := c.OutOrStdout()
	lines := append([]string(nil), a.Steps...)
	for _, note := range a.Warnings {
		lines = append(lines, "note: "+note)
	}
	lines = append(lines, "Sources: "+strings.Join(a.Sources, ", "), render.Caution)
	for _, l := range lines {
		for _, row := range render.Wrap(l, 78, "", "  ") {
			if _, err := fmt.Fprintln(w, row); err != nil {
				return err
			}
		}
	}
	return nil
}

// estimateTable is the answer as one row for a spreadsheet.
func estimateTable(a protocol.Answer) render.Table {
	cell := func(x float64, decimals int, known bool) string {
		if !known {
			return ""
		}
		return strconv.FormatFloat(x, 'f', decimals, 64)
	}
	line := a.Estimable && a.Slope > 0
	return render.Table{
		Header: []string{"predicted_max_hr_bpm", "ceiling_hr_bpm", "slope_bpm_per_kgm_min", "max_work_rate_kgm_min", "vo2max_l_min", "vo2max_ml_kg_min", "mets", "category", "norms_table", "norms_population", "norms_mode", "why_not"},
		Wrap:   -1,
		Rows: [][]string{{
			cell(float64(a.MaxHR), 1, true), cell(float64(a.Ceiling), 2, true), cell(a.Slope, 5, line), cell(float64(a.MaxWorkRate), 1, line),
			cell(a.VO2Abs.LitresPerMin(), 2, a.Estimable), cell(float64(a.VO2Rel), 1, a.Estimable), cell(float64(a.METs), 1, a.Estimable),
			a.Rating.Category, a.Rating.Table, a.Rating.Population, a.Rating.Mode, a.WhyNot,
		}},
	}
}
