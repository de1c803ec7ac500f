package exercises

import (
	"errors"
	"fmt"
	"math"
)

// A Phase is where the encounter stands.
type Phase string

const (
	Before   Phase = "before"
	WarmUp   Phase = "warm_up"
	Working  Phase = "stage"
	Recovery Phase = "recovery"
	Gone     Phase = "gone"   // the person has left
	Closed   Phase = "closed" // handed in
)

// A State is an attempt as it stands: the fold of its header and events. It holds nothing that the proctor could not know, except after
// handing in, when the last event carries the truth.
type State struct {
	Header Header
	Events []Event
	ClockS int

	Where       string // chair, cycle, lying, standing
	Pedalling   bool
	PedalFromS  int // −1 when never
	Stage       int // 0 before the first
	StageFromS  int
	Extensions  int // in this stage
	EndedAtS    int // −1 while the test has not ended
	EndedHow    Act
	ReleasedAtS int // −1 while the person is here

	ResistanceKp float64 // on the dial
	MetronomeRPM float64
	CuffOn       string // size on the arm, or ""
	Screening    string // last decision

	Helping  map[Task]bool   // who is at it
	Reported *HelperReported // what was reported last, nil when nothing was

	Items  []Item
	Closed bool
}

// newState is the state before any command.
func newState(h Header) *State {
	return &State{Header: h, Where: "standing", PedalFromS: -1, EndedAtS: -1, ReleasedAtS: -1}
}

// Phase says where the encounter stands.
func (s *State) Phase() Phase {
	switch {
	case s.Closed:
		return Closed
	case s.ReleasedAtS >= 0:
		return Gone
	case s.EndedAtS >= 0:
		return Recovery
	case s.Stage > 0:
		return Working
	case s.PedalFromS >= 0:
		return WarmUp
	}
	return Before
}

// PhaseFromS is the second at which the present phase, or the present stage, began.
func (s *State) PhaseFromS() int {
	switch s.Phase() {
	case Closed, Gone:
		return s.ReleasedAtS
	case Recovery:
		return s.EndedAtS
	case Working:
		return s.StageFromS
	case WarmUp:
		return s.PedalFromS
	}
	return 0
}

// apply folds one event; it cannot fail.
func (s *State) apply(e Event) {
	s.Events = append(s.Events, e)
	switch f := e.Fact.(type) {
	case Prepared:
		if f.Act == Cuff {
			s.CuffOn = f.What
		}
	case Seated:
		s.Where = f.Where
	case Decided:
		s.Screening = f.What
	case MetronomeSet:
		s.MetronomeRPM = f.CadenceRPM
	case ResistanceSet:
		s.ResistanceKp = f.ResistanceKp
	case PedallingStarted:
		s.Pedalling = true
		if s.PedalFromS < 0 {
			s.PedalFromS = e.AtS
		}
	case PedallingStopped:
		s.Pedalling = false
	case StageStarted:
		s.Stage, s.StageFromS, s.Extensions, s.ResistanceKp = f.Stage, e.AtS, 0, f.ResistanceKp
	case Extended:
		s.Extensions++
	case TestEnded:
		s.EndedAtS, s.EndedHow, s.ResistanceKp = e.AtS, f.How, f.ResistanceKp
	case HelperSent:
		if s.Helping == nil {
			s.Helping = map[Task]bool{}
		}
		s.Helping[f.Task] = true
	case HelperReported:
		if !f.Again {
			delete(s.Helping, f.Task)
		}
		s.Reported = &f
	case Released:
		s.ReleasedAtS = e.AtS
	case Written:
		s.Items = append(s.Items, Item{Number: f.Item, AtS: e.AtS, Key: f.Key, Text: f.Text, Stage: f.Stage, Minute: f.Minute})
	case Struck:
		if f.Item >= 1 && f.Item <= len(s.Items) {
			s.Items[f.Item-1].Struck = true
		}
	case HandedIn:
		s.Closed = true
	}
}

// follows folds a line that was read, or says why it cannot follow what stands.
func (s *State) follows(l Line) error {
	if s.Closed {
		return errors.New("something follows the handing in")
	}
	if l.AtS < s.ClockS {
		return fmt.Errorf("the clock runs back from %d s to %d s", s.ClockS, l.AtS)
	}
	if l.AtS > longestClockS {
		return fmt.Errorf("the clock runs to %d s: no attempt lasts so long", l.AtS)
	}
	at := s.ClockS
	for _, e := range l.Events {
		if e.AtS < at || e.AtS > l.AtS {
			return fmt.Errorf("an event at %d s, outside %d–%d s", e.AtS, at, l.AtS)
		}
		at = e.AtS
		if w, ok := e.Fact.(Written); ok && w.Item != len(s.Items)+1 {
			return fmt.Errorf("sheet entry %d comes after %d", w.Item, len(s.Items))
		}
		if x, ok := e.Fact.(Struck); ok && (x.Item < 1 || x.Item > len(s.Items) || s.Items[x.Item-1].Struck) {
			return fmt.Errorf("sheet entry %d is struck out, but does not stand there", x.Item)
		}
		s.apply(e)
	}
	s.ClockS = l.AtS
	return nil
}

// Take folds a line that is known to follow.
func (s *State) Take(l Line) {
	for _, e := range l.Events {
		s.apply(e)
	}
	s.ClockS = l.AtS
}

// Rebuild folds the lines of an attempt. The error is a *Damage that names the first line which cannot follow those before it.
func Rebuild(h Header, lines []Line) (*State, error) {
	s := newState(h)
	for i, l := range lines {
		if err := s.follows(l); err != nil {
			return nil, &Damage{i + 2, err.Error()}
		}
	}
	return s, nil
}

// PlaceOf is the stage and the minute that a reading between two seconds belongs to: the minute mark nearest to its middle.
// 0, 0 before the first stage; RecoveryStage after the end.
func (s *State) PlaceOf(fromS, toS int) (stage, minute int) {
	start := 0
	switch {
	case s.EndedAtS >= 0 && fromS >= s.EndedAtS:
		stage, start = RecoveryStage, s.EndedAtS
	case s.Stage > 0:
		stage, start = s.Stage, s.StageFromS
		for _, e := range s.Events { // a reading of an earlier stage, written late
			if f, ok := e.Fact.(StageStarted); ok && e.AtS <= fromS {
				stage, start = f.Stage, e.AtS
			}
		}
		if fromS < s.firstStageS() {
			return 0, 0
		}
	default:
		return 0, 0
	}
	mid := float64(fromS+toS)/2 - float64(start)
	return stage, max(1, int(math.Round(mid/60)))
}

func (s *State) firstStageS() int {
	for _, e := range s.Events {
		if _, ok := e.Fact.(StageStarted); ok {
			return e.AtS
		}
	}
	return 0
}

// Item returns the sheet's entry of a key for a stage and minute that was written last and not struck out.
func (s *State) Item(key Key, stage, minute int) (Item, bool) {
	for i := len(s.Items) - 1; i >= 0; i-- {
		if it := s.Items[i]; it.Key == key && it.Stage == stage && it.Minute == minute && !it.Struck {
			return it, true
		}
	}
	return Item{}, false
}
