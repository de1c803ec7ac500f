package dialogue

import (
	"kilopond/exercises"
)

// A Replaying tells an attempt line by line as it was told while it was played.
type Replaying struct {
	d     *dialogue
	state *exercises.State
}

// Replay begins telling the session's attempt from its first line.
func Replay(s *exercises.Session) *Replaying {
	start, err := exercises.Rebuild(s.State().Header, nil)
	if err != nil {
		panic("dialogue: an attempt without lines always folds: " + err.Error())
	}
	return &Replaying{d: &dialogue{}, state: start}
}

// Place says where and when the next line begins.
func (r *Replaying) Place() string { return Place(r.state) }

// State is the attempt as it stands before the next line.
func (r *Replaying) State() *exercises.State { return r.state }

// Show folds the next line and returns what was told of it.
func (r *Replaying) Show(l exercises.Line) []string {
	began := r.state.ClockS
	r.state.Take(l)
	r.d.at = r.state
	return r.d.show(l, began)
}

// BoxWord is how a box of the sheet is typed.
func BoxWord(key exercises.Key) string {
	for _, l := range labels {
		if l.key == key {
			return l.says
		}
	}
	return string(key)
}
