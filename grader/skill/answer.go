package skill

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kilopond/scenarios"
)

// An Answer is what was typed, as far as it is understood.
type Answer struct {
	Choice  string
	Numbers []float64
	None    bool // said in place of the numbers that are left
}

// A Problem says why what was typed is no answer, and what would be one.
type Problem struct{ What, Hint string }

// noneWord is typed when there is no number to give.
const noneWord = "none"

// String is the answer as it is kept.
func (a Answer) String() string {
	if a.Choice != "" {
		return a.Choice
	}
	var all []string
	for _, x := range a.Numbers {
		all = append(all, plain(x))
	}
	if a.None {
		all = append(all, noneWord)
	}
	return strings.Join(all, " ")
}

// plain prints a number without trailing zeros, a true minus before it.
func plain(x float64) string {
	return strings.Replace(strconv.FormatFloat(x, 'f', -1, 64), "-", "−", 1)
}

// Open returns the boxes that an answer has not filled yet.
func (it *Item) Open(a Answer) []Box {
	if a.None || len(a.Numbers) >= len(it.Boxes) {
		return nil
	}
	return it.Boxes[len(a.Numbers):]
}

// Whole says whether an answer answers everything that was asked.
func (it *Item) Whole(a Answer) bool {
	return a.Choice != "" || it.Choices == nil && len(it.Open(a)) == 0
}

// Read reads one typed line after what was answered before it. The answer is whole when nothing is Open, or a choice is made. Typing costs
// nothing: a line that is not understood changes nothing.
func (it *Item) Read(before Answer, typed string) (Answer, *Problem) {
	typed = strings.TrimSpace(strings.ToLower(typed))
	if typed == "" {
		return before, &Problem{"Nothing is typed.", it.Hint(before)}
	}
	if it.Choices != nil {
		return it.readChoice(typed)
	}
	return it.readNumbers(before, typed)
}

func (it *Item) readChoice(typed string) (Answer, *Problem) {
	if n, err := strconv.Atoi(typed); err == nil && n >= 1 && n <= len(it.Choices) {
		return Answer{Choice: it.Choices[n-1].Word}, nil
	}
	var words, begun []string
	for _, c := range it.Choices {
		words = append(words, c.Word)
		if typed == c.Word {
			return Answer{Choice: c.Word}, nil
		}
		if strings.HasPrefix(c.Word, typed) {
			begun = append(begun, c.Word)
		}
	}
	if len(begun) == 1 {
		return Answer{Choice: begun[0]}, nil
	}
	hint := it.Hint(Answer{})
	if near := scenarios.Nearest(typed, words); near != "" {
		hint = "Did you mean " + near + "? " + hint
	}
	return Answer{}, &Problem{fmt.Sprintf("“%s” is none of the answers.", shown(typed)), hint}
}

// mostNumber is more than anything that is asked for.
const mostNumber = 100_000

// unitWords may stand behind a number and are passed over.
var unitWords = []string{
	"beats", "beat", "bpm", "/min", "kp", "mmhg", "kg·m/min", "kgm/min", "kg.m/min", "ml/kg/min", "l/min", "s", "seconds", "percent", "%", "mets", "and", "over",
}

func (it *Item) readNumbers(before Answer, typed string) (Answer, *Problem) {
	a := Answer{Numbers: append([]float64(nil), before.Numbers...)}
	if it.None != "" && (typed == noneWord || typed == "no" || typed == "n") {
		a.None = true
		return a, nil
	}
	for _, word := range fields(typed) {
		x, err := strconv.ParseFloat(word, 64)
		switch {
		case err != nil && isUnit(word):
			continue
		case err != nil:
			return before, &Problem{fmt.Sprintf("“%s” is not a number.", shown(word)), it.Hint(before)}
		case math.IsNaN(x) || math.Signbit(x) || x > mostNumber: // a zero below nothing is no number that a sheet holds
			return before, &Problem{fmt.Sprintf("%s cannot be meant: a number from 0 to %d.", shown(word), mostNumber), it.Hint(before)}
		case len(a.Numbers) == len(it.Boxes)+it.More:
			return before, &Problem{"More numbers than were asked for.", it.Hint(before)}
		}
		a.Numbers = append(a.Numbers, x)
	}
	if len(a.Numbers) == len(before.Numbers) {
		return before, &Problem{"There is no number in it.", it.Hint(before)}
	}
	return a, nil
}

// fields parts a line into words. A comma between digits is a decimal point; another comma, a stroke and a semicolon part numbers.
func fields(typed string) []string {
	letters := []rune(strings.ReplaceAll(typed, "−", "-"))
	digit := func(i int) bool { return i >= 0 && i < len(letters) && letters[i] >= '0' && letters[i] <= '9' }
	var b strings.Builder
	for i, r := range letters {
		switch {
		case r == ',' && digit(i-1) && digit(i+1):
			b.WriteByte('.')
		case r == ',' || r == ';' || r == '/' && (digit(i-1) || digit(i+1)):
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return strings.Fields(b.String())
}

func isUnit(word string) bool {
	for _, u := range unitWords {
		if word == u {
			return true
		}
	}
	return false
}

// shown cuts what was typed to what can be meant.
func shown(typed string) string {
	if r := []rune(typed); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return typed
}

// Hint says what an answer looks like.
func (it *Item) Hint(before Answer) string {
	if it.Choices != nil {
		var words []string
		for _, c := range it.Choices {
			words = append(words, c.Word)
		}
		return "Type one of: " + strings.Join(words, ", ") + "."
	}
	var names []string
	for _, b := range it.Open(before) {
		names = append(names, b.Name)
	}
	hint := "Type " + strings.Join(names, ", then ") + ", apart by a blank."
	if len(names) == 1 {
		hint = "Type one number: " + names[0] + "."
	}
	if it.None != "" {
		hint += " Type " + noneWord + " when " + it.None + "."
	}
	return hint
}
