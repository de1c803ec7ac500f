package main

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/cmd/internal/dialogue"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// coach puts the reference proctor beside the student. It says what is due, with the reason and where it is written; never a number that the
// student is to count, read or work out.
func coach(b grader.Rulebook, one scenarios.Case) *dialogue.Coach {
	p := grader.NewProctor(b).Knowing(one)
	return &dialogue.Coach{
		Due: func(s *exercises.State) []string {
			list := p.Acceptable(s)
			if len(list) == 0 {
				return nil
			}
			c, _, _ := p.Next(s)
			lines := []string{fmt.Sprintf("due: %s — %s", advised(c), because(list[0]))}
			if also := theOthers(list[1:]); also != "" {
				lines = append(lines, "or: "+also)
			}
			return lines
		},
		Instead: func(s *exercises.State, c exercises.Command) func() []string {
			judge := p.Instead(s, c)
			return func() []string {
				list := judge()
				if len(list) == 0 {
					return nil
				}
				line := fmt.Sprintf("acceptable was: %s — %s", advised(asCommand(list[0])), because(list[0]))
				if also := theOthers(list[1:]); also != "" {
					line += " Or: " + also + "."
				}
				return []string{line}
			}
		},
	}
}

// because is the reason of an advice with its source.
func because(a grader.Advice) string { return fmt.Sprintf("%s [%s]", a.Why, a.Source) }

// theOthers are the words of what may be done as well, one act's choices together: "explain scale | signals, look".
func theOthers(list []grader.Advice) string {
	var acts []exercises.Act
	words := map[exercises.Act]string{}
	for _, a := range list {
		w, met := words[a.Act]
		switch said := advised(asCommand(a)); {
		case !met:
			acts, words[a.Act] = append(acts, a.Act), said
		case w != said && a.What != "":
			words[a.Act] = w + " | " + strings.ReplaceAll(a.What, "_", " ")
		}
	}
	all := make([]string, len(acts))
	for i, a := range acts {
		all[i] = words[a]
	}
	return strings.Join(all, ", ")
}

func asCommand(a grader.Advice) exercises.Command {
	return exercises.Command{Act: a.Act, What: a.What, ResistanceKp: a.ResistanceKp}
}

// advised is a command as the coach says it: with the numbers that the house fixes, without those that are the student's.
func advised(c exercises.Command) string {
	act := strings.ReplaceAll(string(c.Act), "_", " ")
	what := strings.ReplaceAll(c.What, "_", " ")
	switch {
	case c.Act == exercises.Wait && c.Seconds == 0:
		return "go on"
	case c.Act == exercises.Pressure, c.Act == exercises.Count && c.Seconds == 0, c.Act == exercises.Rest && c.Seconds == 0:
		return strings.TrimSpace(act + " " + what)
	case c.Act == exercises.Rest && c.Seconds%60 != 0:
		return fmt.Sprintf("rest %d s", c.Seconds)
	case c.Act == exercises.Write:
		var boxes []string
		for _, e := range c.Entries {
			if w := dialogue.BoxWord(e.Key); !slices.Contains(boxes, w) {
				boxes = append(boxes, w)
			}
		}
		return strings.TrimSpace(act + " " + strings.Join(boxes, ", "))
	case what != "":
		return act + " " + what
	}
	return actWords(c)
}
