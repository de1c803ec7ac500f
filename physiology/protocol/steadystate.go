package protocol

import (
	"math"

	"kilopond/physiology/unit"
)

// The steady rules met in print. Source: [CSEP2009] more than 5 extends; [DEMO-LT5] less than 5; [KINE4315] more than 6 extends;
// one beat of the count [PRACTICE-ONE-BEAT].
const (
	WithinFive    SteadyRule = "le5"
	UnderFive     SteadyRule = "lt5"
	WithinSix     SteadyRule = "le6"
	WithinOneBeat SteadyRule = "one_beat"
)

// SteadyRules lists the rules in the order of the page.
func SteadyRules() []SteadyRule { return []SteadyRule{WithinFive, UnderFive, WithinSix, WithinOneBeat} }

// Agree reports whether two consecutive minutes agree; a fall counts like a rise.
func Agree(rule SteadyRule, count CountRule, before, after unit.HR) bool {
	apart := math.Abs(float64(after - before))
	switch rule {
	case UnderFive:
		return apart < 5
	case WithinSix:
		return apart <= 6
	case WithinOneBeat:
		return apart <= 60/float64(count.Seconds)
	}
	return apart <= 5
}

// Steady reports whether the last two minutes agree. One minute alone is never steady.
func Steady(rule SteadyRule, count CountRule, minutes []unit.HR) bool {
	n := len(minutes)
	return n >= 2 && Agree(rule, count, minutes[n-2], minutes[n-1])
}
