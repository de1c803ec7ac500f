package grader

import (
	"fmt"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A Played is a whole attempt by the reference proctor, an entry an act.
type Played struct {
	Session *exercises.Session
	Lines   []exercises.Line
	Why     []string // the proctor's reason for each act
	Before  []int    // second at which each act began
}

// tooManyActs is more than any test takes.
const tooManyActs = 2000

// Play lets the reference proctor work with a subject until the sheet is handed in. An error is a fault of the proctor, never of the subject.
func Play(b Rulebook, sc scenarios.Scenario) (*Played, error) {
	played := &Played{Session: exercises.Begin(exercises.NewHeader(sc, b.JSON(), b.Hash(), "demo", false), sc)}
	p := NewProctor(b)
	p.learn(sc.Case)
	for range tooManyActs {
		c, why, done := p.Next(played.Session.State())
		if done {
			return played, nil
		}
		played.Before = append(played.Before, played.Session.State().ClockS)
		l, err := played.Session.Do(c)
		if err != nil {
			return nil, fmt.Errorf("the proctor asked for what cannot be done: %w", err)
		}
		played.Lines, played.Why = append(played.Lines, l), append(played.Why, why)
	}
	return nil, fmt.Errorf("case %s, seed %d: no end after %d acts", sc.Case.ID, sc.Seed, tooManyActs)
}
