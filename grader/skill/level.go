package skill

import "kilopond/exercises"

// How difficulty moves: up above 90 % right, down below 70 %, on the answers since the level was last moved, at most the last 20 and not before
// 8 of them. Source: [WILSON2019] about 85 % right is best for learning; [CHOICE-SKILL-LEVELS] the two limits and the numbers of answers.
const (
	upAbove     = 0.9
	downBelow   = 0.7
	leastToMove = 8
	mostToMove  = 20
)

// placing is how many right answers in a row move a level up as long as nothing was wrong at all: who can do it already is not kept at what is easy.
// Source: [CHOICE-SKILL-LEVELS].
const placing = 4

// An outcome is one answer as the level and the spacing see it.
type outcome struct {
	right  bool
	weight float64
}

// stopWeight is what a moment that must end counts for, against any other: a missed stop costs three false ones, so that whoever never stops does
// not pass for right three times in four. Source: [CHOICE-SKILL-LEVELS].
const stopWeight = 3

// outcomeOf weighs an answer.
func outcomeOf(a exercises.Answered) outcome {
	if a.Skill == string(Stop) && a.Kind == mustEnd {
		return outcome{a.Right, stopWeight}
	}
	return outcome{a.Right, 1}
}

// shareRight is the weighted share of right answers; there must be one.
func shareRight(list []outcome) float64 {
	right, all := 0.0, 0.0
	for _, o := range list {
		all += o.weight
		if o.right {
			right += o.weight
		}
	}
	return right / all
}

// A ladder is the level of one skill as the answers move it.
type ladder struct {
	level   int
	signals bool      // of moments, some of which must end: to be placed is to have ended one
	recent  []outcome // since the level was moved
	erred   bool      // something was wrong, at whatever level of the ladder
}

// newLadder is the ladder of a skill before its first answer.
func newLadder(n Name) ladder { return ladder{level: 1, signals: n == Stop} }

// placed says whether the answers of somebody who was never wrong are enough for the next level.
func (l *ladder) placed() bool {
	ended := !l.signals
	for _, o := range l.recent {
		ended = ended || o.weight > 1
	}
	return !l.erred && ended && len(l.recent) >= placing
}

// take moves the level by one answer given at it.
func (l *ladder) take(o outcome) {
	l.recent = append(l.recent, o)
	l.erred = l.erred || !o.right
	if l.placed() && l.level < Levels {
		l.level, l.recent = l.level+1, nil
		return
	}
	if n := len(l.recent); n > mostToMove {
		l.recent = l.recent[n-mostToMove:]
	}
	if len(l.recent) < leastToMove {
		return
	}
	switch share := shareRight(l.recent); {
	case share > upAbove && l.level < Levels:
		l.level, l.recent = l.level+1, nil
	case share < downBelow && l.level > 1:
		l.level, l.recent = l.level-1, nil
	}
}
