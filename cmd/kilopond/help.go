package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kilopond/cmd/internal/render"
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

// newCompletion is the library's command for it; what is no shell is wrong usage.
func newCompletion(root *cobra.Command) {
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() != "completion" {
			continue
		}
		var shells []string
		for _, s := range c.Commands() {
			s.Short = "For " + s.Name()
			s.Args = args(cobra.NoArgs, "kilopond completion "+s.Name())
			shells = append(shells, s.Name())
		}
		c.Short = "Completes commands by the Tab key, in your shell"
		c.Long = "Prints what lets your shell complete commands, cases and choices by the Tab key. How it is put to use: kilopond completion bash --help, or of your own shell."
		hint := "one of: " + strings.Join(shells, ", ")
		c.Args = args(cobra.NoArgs, hint)
		c.RunE = func(*cobra.Command, []string) error { return usage(hint, "completion: for which shell?") }
	}
}

// widestHelp is the longest line of a help that can be read with ease.
const widestHelp = 100

// writeHelp prints what a command does, takes and gives, within the width of the place.
func writeHelp(c *cobra.Command, w io.Writer) error {
	width := min(render.Width(w), widestHelp)
	about := c.Long
	if about == "" {
		about = c.Short
	}
	lines := append(flowed(about, width), "", "Usage:")
	if c.Runnable() && !onlyHolds(c) {
		lines = append(lines, render.Wrap(c.UseLine(), width, "  ", "      ")...)
	}
	if c.HasAvailableSubCommands() {
		lines = append(lines, "  "+c.CommandPath()+" COMMAND")
	}
	if c.HasExample() {
		lines = append(lines, "", "For example:")
		for _, example := range strings.Split(strings.TrimSpace(c.Example), "\n") {
			lines = append(lines, continued("  "+strings.TrimSpace(example), width)...)
		}
	}
	if c.HasAvailableSubCommands() {
		lines = append(lines, "", "Commands:")
		for _, s := range c.Commands() {
			if s.IsAvailableCommand() {
				lines = append(lines, render.Wrap(s.Short, width, fmt.Sprintf("  %-*s  ", c.NamePadding(), s.Name()), strings.Repeat(" ", c.NamePadding()+4))...)
			}
		}
	}
	if c.HasAvailableFlags() {
		lines = append(lines, "", "Flags:")
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden {
				lines = append(lines, flagHelp(f, width)...)
			}
		})
	}
	if c.HasAvailableSubCommands() {
		lines = append(append(lines, ""), render.Wrap(c.CommandPath()+" COMMAND --help says what a command takes.", width, "", "")...)
	}
	_, err := io.WriteString(w, strings.Join(lines, "\n")+"\n")
	return err
}

// onlyHolds says whether a command does nothing by itself.
func onlyHolds(c *cobra.Command) bool { return c.HasAvailableSubCommands() && c.Use == c.Name() }

// flagColumn is where the explanations of flags begin.
const flagColumn = 24

func flagHelp(f *pflag.Flag, width int) []string {
	head, says := "  --"+f.Name, f.Usage
	switch kind := f.Value.Type(); {
	case f.Name == "help":
		head, says = head+", -h", "this text"
	case kind == "bool":
	case kind == "int":
		head += " N"
	default:
		head += " VALUE"
	}
	if d := f.DefValue; d != "" && d != "false" && d != "[]" && d != "0" && !strings.Contains(says, "otherwise") {
		says += " (otherwise " + d + ")"
	}
	indent := strings.Repeat(" ", flagColumn)
	if len(head)+2 > flagColumn {
		return append([]string{head}, render.Wrap(says, width, indent, indent)...)
	}
	return render.Wrap(says, width, fmt.Sprintf("%-*s", flagColumn, head), indent)
}

// flowed lays paragraphs out in a width; a line that begins with a blank stands as it is.
func flowed(text string, width int) (lines []string) {
	flow := ""
	end := func() {
		lines = append(lines, render.Wrap(flow, width, "", "")...)
		flow = ""
	}
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		switch {
		case strings.TrimSpace(line) == "":
			end()
			lines = append(lines, "")
		case line[0] == ' ' || line[0] == '\t':
			end()
			lines = append(lines, line)
		default:
			flow += " " + line
		}
	}
	end()
	return lines
}

// continued breaks a command line as a shell lets it be broken, so that it can be pasted.
func continued(line string, width int) (lines []string) {
	for indent := "  "; len([]rune(line)) > width; {
		runes := []rune(line)
		cut, flag, quoted := 0, 0, false
		for i, r := range runes[:width-1] {
			if r == '"' || r == '\'' {
				quoted = !quoted
			}
			if r == ' ' && !quoted && strings.TrimSpace(string(runes[:i])) != "" {
				cut = i
				if runes[i+1] == '-' {
					flag = i
				}
			}
		}
		if flag > 0 { // a flag stays with its value
			cut = flag
		}
		if cut == 0 {
			break
		}
		lines = append(lines, string(runes[:cut])+` \`)
		line = indent + "    " + string(runes[cut+1:])
	}
	return append(lines, line)
}
