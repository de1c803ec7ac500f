package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"

	"kilopond/scenarios"
)

func newVersion() *cobra.Command {
	c := &cobra.Command{Use: "version", Short: "Version of the program and of its subjects", Args: args(cobra.NoArgs, "kilopond version")}
	c.RunE = func(c *cobra.Command, _ []string) error {
		version := "from source"
		if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
			version = info.Main.Version
		}
		_, err := fmt.Fprintf(c.OutOrStdout(), "kilopond %s, model %d\n", version, scenarios.Model)
		return err
	}
	return c
}
