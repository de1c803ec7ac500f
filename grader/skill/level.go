package skill

// How difficulty moves: up above 90 % right, down below 70 %, on the answers since the level was last moved, at most the last 20 and not before
// 8 of them. Source: [WILSON2019] about 85 % right is best for learning; [CHOICE-SKILL-LEVELS] the two limits and the numbers of answers.
const (
	upAbove     = 0.9
	downBelow   = 0.7
	leastToMove = 8
	mostToMove  = 20
)

// A ladder is the level of one skill as the answers move it.
type ladder struct {
	level  int
	recent []bool // right or not, since the level was moved
}

// take moves the level by one answer given at it.
func (l *ladder) take(right bool) {
	l.recent = append(l.recent, right)
	if n := len(l.recent); n > mostToMove {
		l.recent = l.recent[n-mostToMove:]
	}
	n := len(l.recent)
	if n < leastToMove {
		return
	}
	hits := 0
	for _, r := range l.recent {
		if r {
			hits++
		}
	}
	switch share := float64(hits) / float64(n); {
	case share > upAbove && l.level < Levels:
		l.level, l.recent = l.level+1, nil
	case share < downBelow && l.level > 1:
		l.level, l.recent = l.level-1, nil
	}
}
