package main

import (
	"fmt"
	"runtime/debug"
	"strconv"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

type versionResult struct {
	Version string `json:"version"`
	Model   int    `json:"model"`
}

func newVersion() *cobra.Command {
	c := &cobra.Command{
		Use:   "version",
		Short: "Version of the program and of its subjects",
		Long:  "Version of the program and of its subjects: the same case, seed and model bring the same person on every machine.",
		Args:  args(cobra.NoArgs, "kilopond version"),
	}
	addFormat(c)
	c.RunE = func(c *cobra.Command, _ []string) error {
		f, err := format(c)
		if err != nil {
			return err
		}
		v := versionResult{"from source", scenarios.Model}
		if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
			v.Version = info.Main.Version
		}
		if f == render.Text {
			_, err := fmt.Fprintf(c.OutOrStdout(), "kilopond %s, model %d\n", v.Version, v.Model)
			return err
		}
		t := render.Table{Header: []string{"version", "model"}, Right: []bool{false, true}, Wrap: -1, Rows: [][]string{{v.Version, strconv.Itoa(v.Model)}}}
		return render.Write(c.OutOrStdout(), f, t, v)
	}
	return c
}
