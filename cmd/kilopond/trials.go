package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/grader/inorder"
	"kilopond/scenarios"
)

// mostDays is on how many days the same people may be tested.
const mostDays = 100

func newTrials() *cobra.Command {
	var pulse string
	var days int
	var byDecade bool
	c := &cobra.Command{
		Use:   "trials --n N --pulse count15",
		Short: "Whole tests by the reference proctor, a row each",
		Long: "Whole tests by the rules of the reference proctor, with a second person at the cuff, a row each. --pulse says how the heart rate is\n" +
			"read: monitor (no counting error), count10, count15, count30, or beats30 (the time of 30 beats). --days 2 tests the same people on\n" +
			"another day. stop_reason is two_stages, ceiling, exertion, sign, asked, pressure, pulse, brake or\n" +
			"not_tested. An empty estimate could not be made.\n" +
			"--by-decade counts instead: of the tests begun at an age, how many can be estimated, with a 95 % interval, and how far off they are.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond trials --n 100 --pulse count15"),
	}
	c.Flags().StringVar(&pulse, "pulse", string(grader.Count15), "monitor, count10, count15, count30 or beats30")
	c.Flags().BoolVar(&byDecade, "by-decade", false, "a row for each decade of age: how many can be estimated, and how far off")
	wholeVar(c.Flags(), &days, "days", 1, "on how many days each person is tested")
	addPeople(c, 10)
	addRules(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, w, err := people(c)
		if err != nil {
			return err
		}
		b, err := rules(c)
		if err != nil {
			return err
		}
		method := grader.PulseMethod(pulse)
		if !slices.Contains(grader.PulseMethods(), method) {
			return usage("monitor, count10, count15, count30 or beats30", "--pulse %q: not a way to read it", pulse)
		}
		if days < 1 || days > mostDays {
			return usage("for example --days 2", "--days %d: 1 to %d", days, mostDays)
		}
		const size = 32
		count, bounds := pieces(w.n, size)
		each := func(piece int, take func(p scenarios.Person, day int, r grader.TrialResult)) {
			from, to := bounds(piece)
			trial := grader.NewTrial(b, method)
			for i := from; i < to; i++ {
				p := w.draw(i)
				for day := 1; day <= days; day++ {
					take(p, day, trial.Run(p, day))
				}
			}
		}
		if byDecade {
			return decades(c.Context(), c.OutOrStdout(), f, count, each)
		}
		if err := tabled(f, w.n*days); err != nil {
			return err
		}
		s := stream{columns: trialColumns, keys: 2, pieces: count, rows: func(piece int) (rows [][]string, err error) {
			each(piece, func(p scenarios.Person, day int, r grader.TrialResult) { rows = append(rows, trialRow(p, day, r)) })
			return rows, nil
		}}
		return s.write(c.Context(), c.OutOrStdout(), f)
	}
	return c
}

var trialColumns = []column{
	{"seed", false}, {"day", false}, {"sex", true}, {"age_y", false}, {"mass_kg", false}, {"stages", false}, {"extensions", false}, {"stop_reason", true},
	{"estimate_ml_kg_min", false}, {"true_vo2max_ml_kg_min", false},
}

func trialRow(p scenarios.Person, day int, r grader.TrialResult) []string {
	t := p.Traits
	estimate := ""
	if r.Answer.Estimable {
		estimate = decimals(float64(r.Answer.VO2Rel), 2)
	}
	return []string{
		fmt.Sprint(uint64(p.Seed)), fmt.Sprint(day), string(t.Sex), decimals(float64(t.Age), 0), decimals(float64(t.Mass), 1), fmt.Sprint(r.Stages),
		fmt.Sprint(r.Extensions), string(r.StopReason), estimate, decimals(float64(t.VO2Max.Per(t.Mass)), 2),
	}
}

// decades counts the tests by decade of age and prints a row for each.
func decades(ctx context.Context, out io.Writer, f render.Format, count int, each func(piece int, take func(scenarios.Person, int, grader.TrialResult))) error {
	var all grader.AgeBands
	err := inorder.Each(ctx, count, func(piece int) (*grader.AgeBands, error) {
		var of grader.AgeBands
		each(piece, func(p scenarios.Person, _ int, r grader.TrialResult) { of.Add(p, r) })
		return &of, nil
	}, func(_ int, of *grader.AgeBands) error {
		all.Merge(of)
		return nil
	})
	if err != nil {
		return called(err)
	}
	t := render.Table{
		Header: []string{"from_age_y", "to_age_y", "tests", "not_tested", "estimable", "estimable_percent", "ci_low", "ci_high", "bias_percent", "sd_percent"},
		Right:  []bool{true, true, true, true, true, true, true, true, true, true}, Keys: 2, Wrap: -1,
	}
	cell := func(x *float64) string {
		if x == nil {
			return ""
		}
		return decimals(*x, 1)
	}
	for _, b := range all.List() {
		t.Rows = append(t.Rows, []string{
			fmt.Sprint(b.FromY), fmt.Sprint(b.ToY), fmt.Sprint(b.Tests), fmt.Sprint(b.NotTested), fmt.Sprint(b.Estimable),
			cell(b.Percent), cell(b.CILow), cell(b.CIHigh), cell(b.Bias), cell(b.SD),
		})
	}
	return render.Write(out, f, t, all.List())
}
