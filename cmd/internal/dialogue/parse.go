package dialogue

import (
	"fmt"
	"strings"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A Problem says that a typed line was not understood. It costs no time.
type Problem struct{ What, Hint string }

func problem(hint, format string, args ...any) *Problem {
	return &Problem{fmt.Sprintf(format, args...), hint}
}

// Parse turns a typed line into a command. The state is looked at only to turn a clock time into a wait and a minute into its stage.
func Parse(line string, s *exercises.State) (exercises.Command, *Problem) {
	words := strings.Fields(strings.ToLower(line))
	if len(words) == 0 {
		return exercises.Command{}, problem("help lists what can be done", "Nothing was typed.")
	}
	plain := plainly(words)
	name, args := verbAt(plain)
	typed := strings.Fields(line)
	text := strings.Join(typed[max(1, len(typed)-len(plain)+1):], " ")
	switch name {
	case "write":
		return parseWrite(text, s)
	case "handover":
		return parseHandOver(text)
	}
	if v, ok := verbNamed(name); ok && v.parse != nil {
		return v.parse(args, s)
	}
	return exercises.Command{}, problem(meant(words), "“%s” is not something that can be done here.", short(words[0]))
}

// verbAt is the verb that the words begin with, under its own name, and the words after it.
func verbAt(words []string) (name string, args []string) {
	if len(words) >= 2 {
		if to, ok := pairs[words[0]+" "+words[1]]; ok {
			return to, words[2:]
		}
	}
	if to, ok := synonyms[words[0]]; ok {
		return to, words[1:]
	}
	return words[0], words[1:]
}

// meant is what may have been meant by words that begin with no verb.
func meant(words []string) string {
	text := strings.Join(words, " ")
	if text == "height" || text == "arm" {
		return "measure " + text
	}
	if _, _, ok := label(text); ok && len(text) < 60 {
		return "to write it on the sheet: write " + text
	}
	if near, ok := nearby[words[0]]; ok {
		return near
	}
	if near := scenarios.Nearest(words[0], verbNames()); near != "" {
		return "did you mean " + usageOf(near) + "?"
	}
	return "help lists what can be done"
}

// quoted is how many letters of a strange word are said back.
const quoted = 24

// short is a word as it is said back.
func short(word string) string {
	if r := []rune(word); len(r) > quoted {
		return string(r[:quoted]) + "…"
	}
	return word
}
