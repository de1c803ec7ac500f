package exercises

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"kilopond/scenarios"
)

// An Answered is one answered question of a short skill: a line of a student's own progress. Lines stand alone, each fold is over all of them.
type Answered struct {
	At       time.Time      `json:"at"`      // to the second
	Sitting  time.Time      `json:"sitting"` // when the sitting began
	Skill    string         `json:"skill"`
	Seed     scenarios.Seed `json:"seed"`
	Level    int            `json:"level"`
	Kind     string         `json:"kind"` // of question
	Rulebook string         `json:"rulebook_hash"`
	Answer   string         `json:"answer"`
	Right    bool           `json:"right"`
	Credit   float64        `json:"credit"` // 0 to 1
}

// answeredName is the wire name of an answered question, with its version.
const answeredName = "skill_answered/1"

type wireAnswered struct {
	Name string `json:"e"`
	Answered
}

// EncodeAnswered writes a line without a newline.
func EncodeAnswered(a Answered) ([]byte, error) {
	a.At, a.Sitting = a.At.UTC().Truncate(time.Second), a.Sitting.UTC().Truncate(time.Second)
	return json.Marshal(wireAnswered{answeredName, a})
}

// DecodeAnswered reads a line. What could not have been written by EncodeAnswered is an error.
func DecodeAnswered(raw []byte) (Answered, error) {
	var w wireAnswered
	if err := strict(raw, &w); err != nil {
		return Answered{}, err
	}
	a := w.Answered
	switch {
	case w.Name != answeredName:
		return Answered{}, fmt.Errorf("%q: not a kind of line that this program knows", w.Name)
	case a.Skill == "" || a.Level < 1 || a.Seed > scenarios.MaxSeed:
		return Answered{}, errors.New("no skill, level or seed")
	case math.IsNaN(a.Credit) || a.Credit < 0 || a.Credit > 1:
		return Answered{}, fmt.Errorf("credit %v: 0 to 1", a.Credit)
	case a.At.IsZero() || a.Sitting.IsZero():
		return Answered{}, errors.New("no time")
	}
	return a, nil
}
