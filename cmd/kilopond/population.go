package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

func newPopulation() *cobra.Command {
	c := &cobra.Command{
		Use:   "population --n N",
		Short: "Subjects with their true traits, a row each",
		Long: "Subjects with their true traits, a row each, as CSV. Row i has a seed of its own, printed first: with the same filters and --n 1 it\n" +
			"brings that subject again, and --n 10 is the beginning of --n 100. hr_tau_s is the time constant of heart rate at half of VO2\n" +
			"reserve.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, "kilopond population --n 100 --mix students"),
	}
	addPeople(c, 10)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, w, err := people(c)
		if err != nil {
			return err
		}
		if err := tabled(f, w.n); err != nil {
			return err
		}
		const size = 512
		count, bounds := pieces(w.n, size)
		s := stream{columns: populationColumns, pieces: count, rows: func(piece int) ([][]string, error) {
			from, to := bounds(piece)
			rows := make([][]string, 0, to-from)
			for i := from; i < to; i++ {
				rows = append(rows, populationRow(w.draw(i)))
			}
			return rows, nil
		}}
		return s.write(c.Context(), c.OutOrStdout(), f)
	}
	return c
}

var populationColumns = []column{
	{"seed", false}, {"sex", true}, {"age_y", false}, {"height_cm", false}, {"mass_kg", false}, {"resting_hr_bpm", false}, {"resting_sbp_mmhg", false},
	{"resting_dbp_mmhg", false}, {"true_max_hr_bpm", false}, {"true_vo2max_l_min", false}, {"true_vo2max_ml_kg_min", false},
	{"o2_cost_ml_min_w", false}, {"hr_tau_s", false}, {"vo2_tau_s", false},
}

// halfReserve is where hr_tau_s is given, as a fraction of VO2 reserve.
const halfReserve = 0.5

func populationRow(p scenarios.Person) []string {
	t := p.Traits
	return []string{
		fmt.Sprint(uint64(p.Seed)), string(t.Sex), decimals(float64(t.Age), 0), decimals(float64(t.Height), 1), decimals(float64(t.Mass), 1),
		decimals(float64(t.RestHR), 1), decimals(float64(t.RestSBP), 1), decimals(float64(t.RestDBP), 1), decimals(float64(t.TrueMaxHR), 1),
		decimals(t.VO2Max.LitresPerMin(), 3), decimals(float64(t.VO2Max.Per(t.Mass)), 2), decimals(t.O2Cost, 2),
		decimals(t.HRTau(halfReserve), 1), decimals(t.VO2Tau, 1),
	}
}
