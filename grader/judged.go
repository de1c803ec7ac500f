package grader

import (
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// What the short skills ask of the same functions as the grading.

// OneMoreMinute says whether a stage must be extended: its last two minutes do not agree, and the house allows another.
func OneMoreMinute(b Rulebook, minutes []unit.HR, extensions int) bool {
	return oneMoreMinute(b, minutes, extensions)
}

// SteadyWords says the steady rule in one sentence.
func SteadyWords(r protocol.SteadyRule) string { return steadyWords(r) }
