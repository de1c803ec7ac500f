package dialogue

import (
	"regexp"
	"strconv"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/scenarios"
)

// labels are the names by which a box of the sheet can be called; a longer name stands before a shorter one that begins it.
var labels = []struct {
	says string
	key  exercises.Key
}{
	{"ceiling count", exercises.KeyCeilingCount}, {"band counts", exercises.KeyBandCounts}, {"max heart rate", exercises.KeyMaxHR},
	{"max work rate", exercises.KeyMaxWorkRate}, {"heart rate", exercises.KeyHR}, {"work rate", exercises.KeyMaxWorkRate},
	{"error range", exercises.KeyErrorRange}, {"no estimate", exercises.KeyNoEstimate}, {"max hr", exercises.KeyMaxHR},
	{"vo2max litres", exercises.KeyVO2Abs}, {"vo2max l/min", exercises.KeyVO2Abs}, {"vo2max ml/kg/min", exercises.KeyVO2Rel},
	{"vo2max", exercises.KeyVO2Rel}, {"litres", exercises.KeyVO2Abs}, {"l/min", exercises.KeyVO2Abs}, {"ml/kg/min", exercises.KeyVO2Rel},
	{"beats", exercises.KeyBeats}, {"hr", exercises.KeyHR}, {"pulse", exercises.KeyHR}, {"bp", exercises.KeyBP}, {"pressure", exercises.KeyBP},
	{"rpe", exercises.KeyRPE}, {"exertion", exercises.KeyRPE}, {"cadence", exercises.KeyCadence}, {"resistance", exercises.KeyResistance},
	{"kp", exercises.KeyResistance}, {"symptoms", exercises.KeySymptoms}, {"reason for ending", exercises.KeyReason},
	{"reason", exercises.KeyReason}, {"hand-over", exercises.KeyHandOver}, {"age", exercises.KeyAge}, {"mass", exercises.KeyMass}, {"weight", exercises.KeyMass},
	{"height", exercises.KeyHeight}, {"arm", exercises.KeyArm}, {"maxhr", exercises.KeyMaxHR}, {"ceiling", exercises.KeyCeiling},
	{"bands", exercises.KeyBandCounts}, {"points", exercises.KeyPoints}, {"stages used", exercises.KeyPoints}, {"slope", exercises.KeySlope},
	{"mets", exercises.KeyMETs}, {"rating", exercises.KeyRating}, {"error", exercises.KeyErrorRange},
}

// label splits a text into the box it names and what is to be written there.
func label(text string) (key exercises.Key, rest string, ok bool) {
	for _, l := range labels {
		if len(text) < len(l.says) || !strings.EqualFold(text[:len(l.says)], l.says) {
			continue
		}
		after := text[len(l.says):]
		if after == "" || strings.ContainsRune(" :=,", rune(after[0])) {
			return l.key, strings.TrimLeft(after, " :=,"), true
		}
	}
	return "", text, false
}

// decimalComma is a comma between digits: it parts no entries.
var decimalComma = regexp.MustCompile(`(\d),(\d)`)

// parseWrite reads "beats 28, hr 112" and "stage 2 minute 3 hr 112". A comma that no box follows belongs to the words before it.
func parseWrite(text string, s *exercises.State) (exercises.Command, *Problem) {
	c := exercises.Command{Act: exercises.Write}
	stage, minute, text, bad := place(text, s)
	if bad != nil {
		return c, bad
	}
	for _, p := range entries(text) {
		key, rest, ok := label(p)
		if !ok {
			first, _, _ := strings.Cut(p, " ")
			return c, problem(nearestLabel(first), "The sheet has no box “%s”.", short(first))
		}
		if named := placeWithin.FindString(rest); named != "" && !ofWords(key) {
			return c, problem("for example: write stage 2 minute 3 hr 112", "“%s” stands first, before all that is written with it.", named)
		}
		rest = asWritten(key, rest)
		if rest == "" {
			name, _ := render.Box(key)
			return c, problem(exampleOf(key), "%s: nothing to write.", capital(name))
		}
		c.Entries = append(c.Entries, exercises.Entry{Key: key, Text: rest, Stage: stage, Minute: minute})
	}
	return c, nil
}

// entries parts a text at the commas after which a box is named.
func entries(text string) []string {
	const held = "\x00"
	text = decimalComma.ReplaceAllString(text, "$1"+held+"$2")
	var parts []string
	for _, p := range strings.Split(text, ",") {
		p = strings.TrimSpace(strings.ReplaceAll(p, held, ","))
		if _, _, ok := label(p); len(parts) == 0 || ok && !takesAll(parts[len(parts)-1]) {
			parts = append(parts, p)
		} else {
			parts[len(parts)-1] += ", " + p
		}
	}
	return parts
}

// takesAll says whether a text begins with a box of whole sentences, in which "pulse 108, pressure 134 over 70" names no other boxes.
func takesAll(text string) bool {
	key, _, ok := label(text)
	return ok && (key == exercises.KeyHandOver || key == exercises.KeyNoEstimate)
}

// asWritten is a box's text without its unit, numbers with a point.
func asWritten(key exercises.Key, text string) string {
	text = strings.TrimSpace(text)
	if ofWords(key) {
		return text
	}
	switch key {
	case exercises.KeyPoints:
		return strings.Join(strings.Fields(strings.NewReplacer(" and ", " ", "stages", " ", "stage", " ", ",", " ").Replace(text)), " ")
	case exercises.KeyBandCounts:
		text = strings.ReplaceAll(text, ", ", " ")
	case exercises.KeyBP:
		text = strings.ReplaceAll(text, " ", "")
	}
	for _, u := range unitsOf[key] {
		if cut, ok := strings.CutSuffix(strings.ToLower(text), u); ok {
			text = strings.TrimSpace(cut)
			break
		}
	}
	return strings.NewReplacer(",", ".", "−", "-").Replace(strings.TrimSpace(strings.TrimPrefix(text, "±")))
}

// ofWords says whether a box holds words and no numbers.
func ofWords(key exercises.Key) bool {
	switch key {
	case exercises.KeySymptoms, exercises.KeyReason, exercises.KeyHandOver, exercises.KeyRating, exercises.KeyNoEstimate:
		return true
	}
	return false
}

// placeWithin finds a place that is named after a box.
var placeWithin = regexp.MustCompile(`(?i)\b(?:stage \d+ minute \d+|recovery minute \d+|minute \d+)\b`)

// unitsOf are units that may be typed after a number, longer ones first.
var unitsOf = map[exercises.Key][]string{
	exercises.KeyAge: {"years", "y"}, exercises.KeyHR: {"bpm"}, exercises.KeyMaxHR: {"bpm"}, exercises.KeyCeiling: {"bpm"},
	exercises.KeyCeilingCount: {"beats"}, exercises.KeyBeats: {"beats"}, exercises.KeyBP: {"mmhg"}, exercises.KeyMass: {"kg"},
	exercises.KeyHeight: {"cm"}, exercises.KeyArm: {"cm"}, exercises.KeyResistance: {"kp"}, exercises.KeyCadence: {"rpm"},
	exercises.KeyErrorRange: {"percent", "%"}, exercises.KeyMETs: {"mets"}, exercises.KeyVO2Abs: {"l/min"}, exercises.KeyVO2Rel: {"ml/kg/min"},
	exercises.KeyMaxWorkRate: {"kg·m/min", "kgm/min"}, exercises.KeySlope: {"bpm per kg·m/min", "bpm per kgm/min"},
}

func exampleOf(key exercises.Key) string {
	switch key {
	case exercises.KeyNoEstimate:
		return "say why, for example: write no estimate nothing was tested"
	case exercises.KeyBP:
		return "for example: write bp 148/72"
	case exercises.KeySymptoms, exercises.KeyReason, exercises.KeyHandOver, exercises.KeyRating:
		return "put it in your own words after the name of the box"
	}
	return "the number comes after the name of the box: write beats 28, hr 112"
}

// place reads a leading "stage 2 minute 3", "minute 3" of the stage that runs, "rest" or "recovery minute 1".
func place(text string, s *exercises.State) (stage, minute int, rest string, bad *Problem) {
	words := strings.Fields(text)
	take := func(name string) (int, bool) {
		if len(words) >= 2 && strings.EqualFold(words[0], name) {
			if n, err := strconv.Atoi(strings.TrimRight(words[1], ",:")); err == nil && n > 0 && n < 100 {
				words = words[2:]
				return n, true
			}
		}
		return 0, false
	}
	lead := func(name string) bool {
		if len(words) > 1 && strings.EqualFold(strings.TrimRight(words[0], ",:"), name) {
			words = words[1:]
			return true
		}
		return false
	}
	running := s.Phase() == exercises.Working
	switch {
	case lead("recovery"):
		stage = exercises.RecoveryStage
	case lead("rest"):
		if s.Stage > 0 {
			return 0, 0, "", problem("name the stage: write stage 1 minute 2 hr 112", "The resting part of the sheet is filled in before the first stage.")
		}
	default:
		n, named := take("stage")
		if stage = n; !named && running && len(words) > 0 && strings.EqualFold(words[0], "minute") {
			stage = s.Stage
		}
	}
	if n, ok := take("minute"); ok {
		minute = n
	}
	switch {
	case len(words) == 0:
		return 0, 0, "", problem("for example: write beats 28, hr 112", "Write what?")
	case stage == 0 && minute > 0:
		return 0, 0, "", problem("for example: write stage 2 minute 3 hr 112", "Minute %d of which stage?", minute)
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
