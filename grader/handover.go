package grader

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"kilopond/scenarios"
)

// A handOver is what a hand-over tells, of what whoever comes must know: they see who it is, and not what was before.
type handOver struct {
	what, when, done, read bool
}

// Words by which the parts of a hand-over are known, as they begin; odd spelling passes. Source: [CHOICE-HAND-OVER].
var (
	happenedWords = []string{"pain", "ache", "tight", "chest", "jaw", "discomfort", "angina", "faint", "fell", "fall", "collapse", "dizz", "light", "head",
		"pale", "pallor", "grey", "gray", "white", "sweat", "clammy", "confus", "muddl", "shak", "tremb", "sugar", "hungry", "breath", "wheez",
		"whistl", "cough", "unwell", "sick", "ill", "nausea", "odd", "irregular", "uneven", "palpit", "pulse", "drop", "unconscious", "limp", "weak"}
	doneWords = []string{"stop", "ended", "end", "load", "off", "sat", "sit", "seat", "chair", "laid", "lay", "lie", "lying", "floor", "legs", "raised",
		"held", "hold", "call", "ambulance", "instructor", "defib", "cool", "rest", "watch", "looked", "gave", "juice", "helped", "brought", "took"}
	whenWords = []string{"minute", "min", "stage", "sec", "ago", "during", "after", "warm", "recovery", "cooldown", "o'clock"}
)

var (
	clockTime = regexp.MustCompile(`\d{1,3}[:.h]\d\d`)
	aNumber   = regexp.MustCompile(`\d+`)
	afterNum  = regexp.MustCompile(`\d\s*(kp|kg|min|s\b|sec|w\b)`)
)

// readHandOver reads a sentence for its parts. A word that is not known is taken for a part of what happened: three of them tell it in words that
// are not ours. What is said is read for being there and not for being true.
func readHandOver(text string) (h handOver) {
	text = strings.ToLower(text)
	h.when = clockTime.MatchString(text) || afterNum.MatchString(text)
	for _, n := range aNumber.FindAllString(clockTime.ReplaceAllString(text, " "), -1) {
		if x, err := strconv.Atoi(n); err == nil && x >= 30 && x <= 280 { // what a pulse or a pressure can be
			h.read = true
		}
	}
	strange := 0
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' }) {
		switch {
		case startsAs(w, doneWords):
			h.done = true
		case startsAs(w, whenWords):
			h.when = true
		case startsAs(w, happenedWords):
			h.what = true
		case len([]rune(w)) >= 4:
			strange++
		}
	}
	h.what = h.what || strange >= 3
	return h
}

// startsAs says whether a word begins as one of the list does, or nearly.
func startsAs(word string, list []string) bool {
	for _, stem := range list {
		if strings.HasPrefix(word, stem) && (len(stem) > 3 || len(word) <= len(stem)+3) {
			return true
		}
		letters := []rune(word)
		if len(stem) > 4 && scenarios.Nearest(string(letters[:min(len(letters), len(stem)+1)]), []string{stem}) != "" {
			return true
		}
	}
	return false
}

// missing lists what the hand-over leaves out, in the order in which it is said.
func (h handOver) missing() (list []string) {
	for _, p := range []struct {
		told bool
		what string
	}{{h.what, "what happened"}, {h.when, "when, or at what load"}, {h.done, "what was done"}, {h.read, "a pulse or a pressure"}} {
		if !p.told {
			list = append(list, p.what)
		}
	}
	return list
}
