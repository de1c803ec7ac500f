package main

import (
	"strings"

	"github.com/spf13/cobra"

	"kilopond/scenarios"
)

// newHelp prints the help of a command; what is no command is wrong usage, as it is without help.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "What a command does and takes",
		RunE: func(c *cobra.Command, given []string) error {
			on, rest, err := c.Root().Find(given)
			if err != nil {
				on, rest = c.Root(), given
			}
			if len(rest) > 0 && on.HasSubCommands() {
				hint := on.CommandPath() + " --help lists the commands"
				if near := scenarios.Nearest(rest[0], subcommands(on)); near != "" {
					hint = "did you mean kilopond help " + strings.TrimPrefix(on.CommandPath()+" "+near, "kilopond ") + "?"
				}
				return usage(hint, "%q is not a command", strings.Join(given, " "))
			}
			on.InitDefaultHelpFlag()
			return on.Help()
		},
	}
}
