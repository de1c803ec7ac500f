package dialogue

import (
	"fmt"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A Problem says that a typed line was not understood. It costs no time.
type Problem struct{ What, Hint string }

func problem(hint, format string, args ...any) *Problem {
	return &Problem{fmt.Sprintf(format, args...), hint}
}

// Parse turns a typed line into a command. The state is looked at only to turn a clock time into a wait.
func Parse(line string, s *exercises.State) (exercises.Command, *Problem) {
	words := strings.Fields(strings.ToLower(line))
	if len(words) == 0 {
		return exercises.Command{}, problem("help lists what can be done", "Nothing was typed.")
	}
	verb, args := words[0], words[1:]
	if verb == "hand" && len(args) > 0 && args[0] == "in" {
		verb, args = "hand_in", args[1:]
	}
	if verb == "cool" && len(args) > 0 && args[0] == "down" {
		verb, args = "cooldown", args[1:]
	}
	if to, ok := synonyms[verb]; ok {
		verb = to
	}
	if verb == "write" {
		return parseWrite(strings.TrimSpace(line[len(words[0]):]))
	}
	for _, v := range verbs {
		if v.name == verb {
			return v.parse(args, s)
		}
	}
	near := scenarios.Nearest(verb, verbNames())
	if near == "" {
		return exercises.Command{}, problem("help lists what can be done", "“%s” is not something that can be done here.", words[0])
	}
	return exercises.Command{}, problem("did you mean "+usageOf(near)+"?", "“%s” is not something that can be done here.", words[0])
}

// figure reads a number, with a point or a comma, after taking off a unit.
func figure(word string, units ...string) (float64, bool) {
	for _, u := range units {
		word = strings.TrimSuffix(word, u)
	}
	x, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64)
	return x, err == nil
}

// numbersIn are the numbers among the words, units and small words left out.
func numbersIn(args []string, units ...string) (found []float64, rest []string) {
	for _, a := range args {
		if x, ok := figure(a, units...); ok {
			found = append(found, x)
			continue
		}
		skip := false
		for _, u := range append(units, "to", "at", "for", "of") {
			skip = skip || a == u
		}
		if !skip {
			rest = append(rest, a)
		}
	}
	return found, rest
}

// parseClock reads 1:45 as seconds.
func parseClock(word string) (int, bool) {
	m, s, ok := strings.Cut(word, ":")
	if !ok {
		return 0, false
	}
	mi, err1 := strconv.Atoi(m)
	se, err2 := strconv.Atoi(s)
	if err1 != nil || err2 != nil || mi < 0 || se < 0 || se > 59 || len(s) != 2 || mi > 600 {
		return 0, false
	}
	return 60*mi + se, true
}

// load reads a resistance: kp, or kg·m/min when that unit is typed.
func load(act exercises.Act, args []string, usage string) (exercises.Command, *Problem) {
	joined := strings.Join(args, " ")
	kgm := strings.Contains(joined, "kgm") || strings.Contains(joined, "kg·m")
	found, rest := numbersIn(args, "kp", "kgm/min", "kg·m/min", "kgm", "kg·m")
	if len(found) != 1 || len(rest) > 0 {
		return exercises.Command{}, problem(usage, "How much resistance?")
	}
	x := found[0]
	if kgm {
		x = float64(unit.WorkRate(x).Resistance(50 * unit.RPM))
	}
	return exercises.Command{Act: act, ResistanceKp: x}, nil
}

// labels are the names by which a box of the sheet can be called, longest first within a name.
var labels = []struct {
	says string
	key  exercises.Key
}{
	{"ceiling count", exercises.KeyCeilingCount}, {"band counts", exercises.KeyBandCounts}, {"max heart rate", exercises.KeyMaxHR},
	{"max work rate", exercises.KeyMaxWorkRate}, {"heart rate", exercises.KeyHR}, {"work rate", exercises.KeyMaxWorkRate},
	{"error range", exercises.KeyErrorRange}, {"no estimate", exercises.KeyNoEstimate}, {"max hr", exercises.KeyMaxHR},
	{"vo2max litres", exercises.KeyVO2Abs}, {"vo2max l/min", exercises.KeyVO2Abs}, {"vo2max", exercises.KeyVO2Rel},
	{"litres", exercises.KeyVO2Abs}, {"l/min", exercises.KeyVO2Abs}, {"ml/kg/min", exercises.KeyVO2Rel},
	{"beats", exercises.KeyBeats}, {"hr", exercises.KeyHR}, {"pulse", exercises.KeyHR}, {"bp", exercises.KeyBP}, {"pressure", exercises.KeyBP},
	{"rpe", exercises.KeyRPE}, {"exertion", exercises.KeyRPE}, {"cadence", exercises.KeyCadence}, {"resistance", exercises.KeyResistance},
	{"kp", exercises.KeyResistance}, {"symptoms", exercises.KeySymptoms}, {"reason", exercises.KeyReason}, {"age", exercises.KeyAge},
	{"mass", exercises.KeyMass}, {"height", exercises.KeyHeight}, {"arm", exercises.KeyArm}, {"maxhr", exercises.KeyMaxHR},
	{"ceiling", exercises.KeyCeiling}, {"bands", exercises.KeyBandCounts}, {"points", exercises.KeyPoints}, {"slope", exercises.KeySlope},
	{"mets", exercises.KeyMETs}, {"rating", exercises.KeyRating}, {"error", exercises.KeyErrorRange},
}

// label splits a text into the box it names and what is to be written there.
func label(text string) (key exercises.Key, rest string, ok bool) {
	low := strings.ToLower(text)
	for _, l := range labels {
		if after, found := strings.CutPrefix(low, l.says); found && (after == "" || after[0] == ' ') {
			return l.key, strings.TrimSpace(text[len(l.says):]), true
		}
	}
	return "", text, false
}

// parseWrite reads "beats 28, hr 112" and "stage 2 minute 3 hr 112". A comma that no box follows belongs to the words before it.
func parseWrite(text string) (exercises.Command, *Problem) {
	c := exercises.Command{Act: exercises.Write}
	stage, minute, text, bad := place(text)
	if bad != nil {
		return c, bad
	}
	var parts []string
	for _, p := range strings.Split(text, ",") {
		p = strings.TrimSpace(p)
		if _, _, ok := label(p); ok || len(parts) == 0 {
			parts = append(parts, p)
		} else {
			parts[len(parts)-1] += ", " + p
		}
	}
	for _, p := range parts {
		key, rest, ok := label(p)
		if !ok {
			first, _, _ := strings.Cut(p, " ")
			return c, problem(nearestLabel(first), "The sheet has no box “%s”.", first)
		}
		rest = strings.TrimSpace(strings.TrimSuffix(rest, unitOf(key)))
		if key == exercises.KeyPoints {
			rest = strings.NewReplacer(" and ", " ", ",", " ").Replace(rest)
			rest = strings.Join(strings.Fields(rest), " ")
		}
		if rest == "" && key == exercises.KeyNoEstimate {
			return c, problem("for example: write no estimate only one usable stage", "Why can it not be estimated?")
		}
		c.Entries = append(c.Entries, exercises.Entry{Key: key, Text: strings.TrimPrefix(rest, "± "), Stage: stage, Minute: minute})
	}
	return c, nil
}

// unitOf is a unit that may be typed after the number.
func unitOf(key exercises.Key) string {
	return map[exercises.Key]string{
		exercises.KeyHR: "bpm", exercises.KeyMaxHR: "bpm", exercises.KeyCeiling: "bpm", exercises.KeyBP: "mmhg", exercises.KeyMass: "kg",
		exercises.KeyHeight: "cm", exercises.KeyArm: "cm", exercises.KeyResistance: "kp", exercises.KeyCadence: "rpm", exercises.KeyErrorRange: "%",
		exercises.KeyMaxWorkRate: "kgm/min",
	}[key]
}

// place reads a leading "stage 2 minute 3", "rest" or "recovery minute 1".
func place(text string) (stage, minute int, rest string, bad *Problem) {
	words := strings.Fields(text)
	take := func(name string) (int, bool) {
		if len(words) >= 2 && strings.ToLower(words[0]) == name {
			if n, err := strconv.Atoi(words[1]); err == nil && n > 0 {
				words = words[2:]
				return n, true
			}
		}
		return 0, false
	}
	if len(words) > 0 && strings.ToLower(words[0]) == "recovery" {
		stage, words = exercises.RecoveryStage, words[1:]
	} else if n, ok := take("stage"); ok {
		stage = n
	}
	if n, ok := take("minute"); ok {
		minute = n
	}
	if len(words) == 0 {
		return 0, 0, "", problem("for example: write beats 28, hr 112", "Write what?")
	}
	if stage == 0 && minute == 0 {
		return 0, 0, text, nil
	}
	return stage, minute, strings.Join(words, " "), nil
}

func nearestLabel(word string) string {
	names := make([]string, len(labels))
	for i, l := range labels {
		names[i] = l.says
	}
	if near := scenarios.Nearest(strings.ToLower(word), names); near != "" {
		return "did you mean " + near + "?"
	}
	return "help write lists the boxes"
}
