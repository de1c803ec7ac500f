package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

func newTrace() *cobra.Command {
	var profile string
	var every int
	c := &cobra.Command{
		Use:   "trace --profile 150x3,450x3,0x5",
		Short: "What is so of subjects through a work profile, second by second",
		Long: "What is so of subjects through a work profile. Parts are work rate (kg·m/min) × minutes; 90%x4 is a part of the subject's own maximal\n" +
			"work rate, restx5 is sitting still, and 0 is pedalling without load. Pedalling follows a metronome at 50. Rows are t_s = 0 and every\n" +
			"--every seconds.\n\n" + render.Caution,
		Args: args(cobra.NoArgs, profileHint),
	}
	c.Flags().StringVar(&profile, "profile", "", profileHint)
	wholeVar(c.Flags(), &every, "every", 15, "seconds between rows")
	addPeople(c, 1)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, w, err := people(c)
		if err != nil {
			return err
		}
		if !c.Flags().Changed("profile") {
			return usage(profileHint, "--profile is missing")
		}
		bouts, err := parseProfile(profile)
		if err != nil {
			return err
		}
		seconds := 0
		for _, b := range bouts {
			seconds += b.seconds
		}
		if every < 1 || every > seconds {
			return usage("for example --every 15", "--every %d: 1 to %d, the length of the profile", every, seconds)
		}
		if err := tabled(f, w.n*(seconds/every+1)); err != nil {
			return err
		}
		const size = 4
		count, bounds := pieces(w.n, size)
		s := stream{columns: traceColumns, keys: 2, pieces: count, rows: func(piece int) ([][]string, error) {
			from, to := bounds(piece)
			rows := make([][]string, 0, (to-from)*(seconds/every+1))
			var b body.Body
			for i := from; i < to; i++ {
				rows = append(rows, traceRows(&b, w.draw(i), bouts, every)...)
			}
			return rows, nil
		}}
		return s.write(c.Context(), c.OutOrStdout(), f)
	}
	return c
}

var traceColumns = []column{
	{"seed", false}, {"t_s", false}, {"work_rate_kgm_min", false}, {"vo2_ml_min", false}, {"hr_bpm", false}, {"sbp_mmhg", false}, {"dbp_mmhg", false}, {"rpe", false},
}

// traceRows takes one person through the profile.
func traceRows(b *body.Body, p scenarios.Person, bouts []bout, every int) [][]string {
	p.Begin(b, 1)
	seed := fmt.Sprint(uint64(p.Seed))
	row := func(t int) []string {
		n := b.Now()
		return []string{
			seed, fmt.Sprint(t), decimals(float64(n.WorkRate), 1), decimals(float64(n.VO2), 1), decimals(float64(n.HR), 1),
			decimals(float64(n.SBP), 1), decimals(float64(n.DBP), 1), decimals(n.Exertion, 1),
		}
	}
	rows := [][]string{row(0)}
	t, worked := 0, false
	for _, x := range bouts {
		set := x.setting(p.Traits, worked)
		worked = worked || set.Pedalling
		for range x.seconds {
			b.Step(set)
			if t++; t%every == 0 {
				rows = append(rows, row(t))
			}
		}
	}
	return rows
}
