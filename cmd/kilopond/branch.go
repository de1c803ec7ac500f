package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// branchResult is the machine-readable result of branch.
type branchResult struct {
	Band          int       `json:"band"` // from 1
	WorkRates     []float64 `json:"work_rates_kgm_min"`
	ResistancesKp []float64 `json:"resistances_kp"`
}

func newBranch() *cobra.Command {
	var hr float64
	c := &cobra.Command{
		Use:   "branch --hr-bpm N",
		Short: "The work rates that follow a first-stage heart rate, stage 2 first",
		Long:  "The work rates that follow a first-stage heart rate, stage 2 first, with the resistance to set.\n\n" + render.Caution,
		Args:  args(cobra.NoArgs, "kilopond branch --hr-bpm 92"),
	}
	decimalVar(c.Flags(), &hr, "hr-bpm", 0, "heart rate at the end of stage 1")
	addRules(c)
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, b, err := formatAndRules(c)
		if err != nil {
			return err
		}
		if !c.Flags().Changed("hr-bpm") {
			return usage("kilopond branch --hr-bpm 92", "--hr-bpm is missing")
		}
		if err := finite("hr-bpm", hr, 30, 240); err != nil {
			return err
		}
		band, rates := protocol.Branch(b.Rules, unit.HR(hr))
		r := branchResult{Band: band + 1}
		t := render.Table{Header: []string{"stage", "work_rate_kgm_min", "resistance_kp"}, Right: []bool{true, true, true}, Wrap: -1}
		for i, w := range rates {
			kp := unit.Round(float64(w.Resistance(b.Cadence)), 2)
			r.WorkRates, r.ResistancesKp = append(r.WorkRates, float64(w)), append(r.ResistancesKp, kp)
			t.Rows = append(t.Rows, []string{strconv.Itoa(i + 2), strconv.FormatFloat(float64(w), 'f', 0, 64), strconv.FormatFloat(kp, 'f', 2, 64)})
		}
		if err := render.Write(c.OutOrStdout(), f, t, r); err != nil {
			return err
		}
		if known := b.Bands[band].HowKnown; known != "" && f == render.Text {
			c.PrintErrln("note: " + known)
		}
		return nil
	}
	return c
}
