package dialogue

import (
	"fmt"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

// terms are the words and abbreviations of the trade, each for one thing.
var terms = []struct{ word, says string }{
	{"kp", "Kilopond: the unit of the dial. At 50 turns a minute each 0.5 kp is a work rate of 150 kg·m/min."},
	{"kg·m/min", "The unit of work rate: kilopond times the way of the wheel's rim in a minute. Typed kgm/min."},
	{"bpm", "Beats a minute: the unit of heart rate."},
	{"rpm", "Turns of the pedals a minute: the unit of cadence."},
	{"mmHg", "Millimetres of mercury: the unit of the pressure gauge."},
	{"hr", "Heart rate, in beats a minute."},
	{"bp", "Blood pressure, as 148/72: the first of two sounds in a row, then the last sound. When they run on to nothing, three numbers: the first, where they are muffled, the last, as 178/70/0."},
	{"rpe", "Rating of perceived exertion: the person's own number on the scale from 6 to 20."},
	{"work rate", "How much work is done in a minute: resistance times cadence times the way of one turn."},
	{"steady state", "The heart rates of two minutes in a row agree. How closely, the rules say."},
	{"ceiling", "The heart rate at which the test ends. How it is worked out, the rules say."},
	{"band", "A range of first-stage heart rates; each has its own work rates from stage 2 on. The rules list them."},
	{"window", "The range of heart rates that may enter the line. The rules give its limits."},
	{"single stage", "What one usable stage gives, where the rules allow it, as it makes no line: VO2max is the oxygen uptake at its work rate × (predicted maximum − c) / (its heart rate − c), with c = 72 bpm for a woman and 61 for a man. Slope and max work rate stay empty; name the stage under points."},
	{"slope", "By how many bpm the line rises for each kg·m/min."},
	{"VO2max", "The most oxygen that a person can take up: in L/min, or in mL/kg/min for each kilogram of mass."},
	{"METs", "Oxygen uptake as a multiple of that at rest."},
}

// column is where the explanations of the list begin.
const column = 34

// help is the page of what can be typed, in the order of a lab, or what one word means.
func help(words []string) []string {
	if len(words) > 0 {
		return helpOn(words)
	}
	out := wrap("What can be done, in the order of a lab. You may do it in any order. Words after | are choices; numbers are examples.", width, "")
	for _, group := range groups {
		out = append(out, "", group)
		for _, v := range verbs {
			switch {
			case v.group != group:
			case len([]rune(v.usage)) > column-4:
				out = append(out, "  "+v.usage, strings.Repeat(" ", column)+v.brief)
			default:
				out = append(out, fmt.Sprintf("  %-*s%s", column-2, v.usage, v.brief))
			}
		}
	}
	out = append(out, "")
	out = append(out, wrap("help pressure says more of one word. rules prints the rules of the house. Neither takes time. Ctrl-D or quit leaves; nothing is lost.", width, "")...)
	var names []string
	for _, t := range terms {
		names = append(names, t.word)
	}
	return append(out, wrap("help explains these words too: "+strings.Join(names, ", ")+".", width, "")...)
}

// helpOn says more of one word: what can be typed, what it means, or both.
func helpOn(words []string) []string {
	var out []string
	text := strings.Join(words, " ")
	name, _ := verbAt(words)
	if name == "write" {
		return helpWrite()
	}
	if v, ok := verbNamed(name); ok {
		out = append(append(out, v.usage), wrap(v.says, width, "  ")...)
	}
	for _, t := range terms {
		if strings.EqualFold(t.word, text) || strings.EqualFold(t.word, words[0]) || t.word == "kg·m/min" && strings.HasPrefix(words[0], "kgm") {
			out = append(append(out, t.word), wrap(t.says, width, "  ")...)
		}
	}
	if len(out) > 0 {
		return out
	}
	if _, _, box := label(text); box { // a box of the sheet that is no word of its own: rating, points, reason
		return helpWrite()
	}
	names := verbNames()
	for _, t := range terms {
		names = append(names, t.word)
	}
	if near := scenarios.Nearest(text, names); near != "" {
		return []string{fmt.Sprintf("No help on “%s”; did you mean %s?", short(text), near)}
	}
	return []string{fmt.Sprintf("No help on “%s”; help lists the words.", short(text))}
}

// helpWrite lists the boxes of the sheet.
func helpWrite() []string {
	out := []string{"write BOX WHAT, several apart by commas: write beats 28, hr 112"}
	for _, part := range [][2]string{
		{"  Who        ", "age, mass, height, arm"},
		{"  Beforehand ", "max hr (the predicted maximum), ceiling, ceiling count (as beats in one count), band counts (the limits as beats, apart by blanks)"},
		{"  Readings   ", "beats (as counted), hr, bp 148/72 (or 178/70/0), exertion, cadence, resistance, symptoms"},
		{"  The end    ", "reason"},
		{"  Calculation", "points (stages used: 2 3), slope, max work rate, vo2max (in mL/kg/min), vo2max litres (in L/min), mets, rating (very poor, poor, fair, good, excellent, superior), error range"},
		{"  Or         ", "no estimate, and why"},
	} {
		out = append(out, render.Wrap(part[1], width, part[0]+" ", strings.Repeat(" ", len(part[0])+1))...)
	}
	return append(out, wrap("A reading goes to the place of the latest one of its kind. For another place: write stage 2 minute 3 hr 112, or write recovery minute 1 hr 98. Writing takes two seconds, however much is written at once.", width, "")...)
}
