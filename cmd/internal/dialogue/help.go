package dialogue

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/scenarios"
)

// help is the page of what can be typed, in the order of a lab, or one entry of it.
func help(words []string) []string {
	if len(words) > 0 {
		return helpOn(words[0])
	}
	var out []string
	for _, group := range []string{groupRoom, groupPerson, groupMeasure, groupTest, groupPaper} {
		out = append(out, group+":")
		for _, v := range verbs {
			if v.group == group {
				out = append(out, "  "+v.usage)
			}
		}
		if group == groupPaper {
			out = append(out, "  write beats 28, hr 112", "  sheet")
		}
	}
	out = append(out, "`help pressure` says more of one word; `rules` prints the rules of the house; Ctrl-D leaves.")
	return append(out, wrap("bpm: beats a minute. kp: kilopond, the dial's unit; at 50 turns a minute each 0.5 kp is 150 kg·m/min. mmHg: of the pressure gauge. rpm: turns a minute. METs: oxygen uptake as a multiple of rest. VO2max: the most oxygen that can be taken up.", 78, "")...)
}

func helpOn(word string) []string {
	if to, ok := synonyms[word]; ok {
		word = to
	}
	switch word {
	case "write":
		out := wrap("write BOX VALUE, several apart by commas: write beats 28, hr 112. A reading goes to the place of the latest one of its kind; for another: write stage 2 minute 3 hr 112, write recovery minute 1 hr 98.", 78, "")
		out = append(out, "Readings: beats, hr, bp (148/72), exertion, cadence, resistance, symptoms.")
		out = append(out, "Before: age, mass, height, arm, max hr, ceiling, ceiling count, band counts.")
		return append(out, wrap("After: reason, points (stages used: 2 3), slope, max work rate, vo2max (mL/kg/min), vo2max litres (L/min), mets, rating (very poor, poor, fair, good, excellent, superior), error range, or no estimate and why.", 78, "")...)
	case "sheet":
		return []string{"sheet", "  Read what is written; struck entries stay legible."}
	case "hand":
		word = "hand_in"
	}
	if v, ok := verbIndex()[word]; ok {
		return append([]string{v.usage}, wrap(v.says, 78, "  ")...)
	}
	names := verbNames()
	slices.Sort(names)
	if near := scenarios.Nearest(word, names); near != "" {
		return []string{fmt.Sprintf("No help on “%s”; did you mean %s?", word, strings.ReplaceAll(near, "_", " "))}
	}
	return []string{fmt.Sprintf("No help on “%s”; `help` lists the words.", word)}
}
