package main

import (
	"embed"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/scenarios"
)

// The JSON Schema of each result, and of the files that people write.
//
//go:embed testdata/schema/*.json
var schemas embed.FS

func schemaNames() []string {
	files, err := fs.ReadDir(schemas, "testdata/schema")
	must(err)
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f.Name(), ".schema.json"))
	}
	return names
}

func newSchema() *cobra.Command {
	c := &cobra.Command{
		Use:   "schema NAME",
		Short: "JSON Schema of a result, or of a case or rulebook file, for editors",
		Args:  args(cobra.ExactArgs(1), "one of: "+strings.Join(schemaNames(), ", ")),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
			return schemaNames(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.RunE = func(c *cobra.Command, given []string) error {
		raw, err := schemas.ReadFile("testdata/schema/" + given[0] + ".schema.json")
		if err != nil {
			hint := "one of: " + strings.Join(schemaNames(), ", ")
			if near := scenarios.Nearest(given[0], schemaNames()); near != "" {
				hint = "did you mean " + near + "?"
			}
			return usage(hint, "schema %q: none of that name", given[0])
		}
		_, err = c.OutOrStdout().Write(raw)
		return err
	}
	return c
}
