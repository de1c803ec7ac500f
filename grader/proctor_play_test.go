package grader

import (
	"fmt"
	"slices"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A student is the reference proctor with one habit: what it does instead of the right command at some states.
//
// A habit that leaves something out must also believe that it was done, or the proctor would ask for it for ever: such beliefs are
// events and items that only the student's own eyes see.
type student struct {
	book    Rulebook
	habit   habit
	session *exercises.Session
	proctor *Proctor
	beliefs []exercises.Event
	notes   []exercises.Item
	lines   []exercises.Line
	header  exercises.Header
	scene   scenarios.Scenario
	slips   int         // how often the habit acted
	deaf    bool        // hears “no” to every health question
	older   int         // years added to the age on the list
	dull    map[int]int // beats not felt, or mmHg heard too low, by the second at which the reading began
	helped  bool        // takes what a helper reports for a reading of their own
	wary    bool        // asks a helper again for a number that no pulse makes, before anything else
	asked   int         // when the count began that a helper was last asked about
	mind    mind
}

// askAgain asks a helper once more whose last number no pulse makes.
func (st *student) askAgain() error {
	now := st.session.State()
	if r := now.Reported; !st.wary || r == nil || r.Task != exercises.HelperPulse || r.Again || r.FromS == st.asked {
		return nil
	}
	st.asked = now.Reported.FromS
	for _, d := range helperDoubts(st.book, ReadState(st.book, now)) {
		if d.count.FromS == st.asked {
			line, err := st.session.Do(exercises.Command{Act: exercises.Helper, What: "again"})
			st.lines = append(st.lines, line)
			return err
		}
	}
	return nil
}

// A mind is the state as a student with beliefs of their own saw it last. It grows with the attempt, so that of a long one nothing is sorted twice.
type mind struct {
	state           *exercises.State
	events, beliefs int // how many of each are in it
	deaf, helped    bool
	older, dull     int
}

// A habit changes what the student does at a state. It returns the commands to give instead of the right one, and whether the student
// believes afterwards that the right one was done. A nil habit is the right way.
type habit func(st *student, s *exercises.State, right exercises.Command) (instead []exercises.Command, believe, acted bool)

// mostCommands ends a play that does not come to an end by itself.
const mostCommands = 700

// play plays a whole attempt.
func play(t testing.TB, book Rulebook, c scenarios.Case, seed scenarios.Seed, h habit) *student {
	t.Helper()
	st, err := attempt(book, c, seed, h)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// attempt plays a whole attempt; what cannot be done at a state is an error.
func attempt(book Rulebook, c scenarios.Case, seed scenarios.Seed, h habit) (*student, error) {
	p := NewProctor(book)
	p.learn(c)
	scene := c.Draw(seed)
	return attemptBy(p, scene, exercises.NewHeader(scene, book.JSON(), book.Hash(), "demo", false), h)
}

// attemptBy plays a whole attempt with a proctor who knows the words of the case.
func attemptBy(p *Proctor, scene scenarios.Scenario, header exercises.Header, h habit) (*student, error) {
	st := &student{book: p.book, habit: h, proctor: p, scene: scene, header: header, session: exercises.Begin(header, scene), dull: map[int]int{}}
	for range mostCommands {
		if err := st.askAgain(); err != nil {
			return nil, err
		}
		seen := st.eyes()
		right, _, done := st.proctor.Next(seen)
		if done {
			return st, nil
		}
		commands := []exercises.Command{right}
		if st.habit != nil {
			if instead, believe, acted := st.habit(st, seen, right); acted {
				commands = instead
				st.slips++
				if believe {
					st.believe(right)
				}
			}
		}
		for _, command := range commands {
			if st.session.State().Closed {
				return st, nil
			}
			began := st.session.State().ClockS
			line, err := st.session.Do(command)
			if err != nil {
				return nil, fmt.Errorf("case %s seed %d at %d s: %s %s: %w", scene.Case.ID, scene.Seed, seen.ClockS, command.Act, command.What, err)
			}
			st.lines = append(st.lines, line)
			if command.Act == exercises.Wait && line.AtS-began < command.Seconds {
				break // something new was seen: nobody goes on as planned
			}
		}
	}
	return nil, fmt.Errorf("case %s seed %d: not handed in after %d commands", scene.Case.ID, scene.Seed, mostCommands)
}

// eyes is the state as the student sees it, with what it believes.
func (st *student) eyes() *exercises.State {
	s := st.session.State()
	if len(st.beliefs) == 0 && len(st.notes) == 0 && !st.deaf && st.older == 0 && len(st.dull) == 0 && !st.helped {
		return s
	}
	dull := 0
	for _, n := range st.dull {
		dull += n
	}
	m := &st.mind
	if m.state == nil || m.deaf != st.deaf || m.helped != st.helped || m.older != st.older || m.dull != dull || m.hasLater(st, s) {
		*m = mind{state: &exercises.State{}, deaf: st.deaf, helped: st.helped, older: st.older, dull: dull}
	}
	events, items := m.state.Events, append(append(m.state.Items[:0], s.Items...), st.notes...)
	*m.state = *s
	m.state.Header.Subject.AgeY += st.older
	for i, e := range s.Events[m.events:] {
		if st.helped && takenBack(e, s.Events[m.events+i+1:]) {
			continue
		}
		for m.beliefs < len(st.beliefs) && st.beliefs[m.beliefs].AtS < e.AtS {
			events = append(events, st.beliefs[m.beliefs])
			m.beliefs++
		}
		events = append(events, st.seen(e))
	}
	m.state.Events, m.state.Items = append(events, st.beliefs[m.beliefs:]...), items
	m.events, m.beliefs = len(s.Events), len(st.beliefs)
	return m.state
}

// takenBack says whether a helper, asked again, has said something else since.
func takenBack(e exercises.Event, since []exercises.Event) bool {
	r, ok := e.Fact.(exercises.HelperReported)
	return ok && slices.ContainsFunc(since, func(later exercises.Event) bool {
		again, is := later.Fact.(exercises.HelperReported)
		return is && again.Again && again.Task == r.Task && again.FromS == r.FromS
	})
}

// hasLater says whether something has happened since that belongs before what stands in the mind: before a belief, or in the place of a report.
func (m *mind) hasLater(st *student, s *exercises.State) bool {
	for _, e := range s.Events[m.events:] {
		if r, ok := e.Fact.(exercises.HelperReported); ok && r.Again {
			return true
		}
	}
	return m.beliefs > 0 && m.events < len(s.Events) && st.beliefs[m.beliefs-1].AtS >= s.Events[m.events].AtS
}

// seen is an event as the student takes it.
func (st *student) seen(e exercises.Event) exercises.Event {
	if f, ok := e.Fact.(exercises.Said); ok && st.deaf && f.To == "health" {
		e.Fact = exercises.Said{Words: "No.", To: f.To, About: f.About}
	}
	if f, ok := e.Fact.(exercises.HelperReported); ok && st.helped {
		e.Fact, e.AtS = ownReading(f), f.ToS
	}
	switch f := e.Fact.(type) {
	case exercises.PulseFelt:
		f.Tenths = f.Tenths[:max(0, len(f.Tenths)-st.dull[f.FromS])]
		e.Fact = f
	case exercises.CuffFell:
		f.TopMmHg -= st.dull[f.FromS]
		e.Fact = f
	}
	return e
}

// believe makes the student take the command for done.
func (st *student) believe(c exercises.Command) {
	now := st.session.State().ClockS
	add := func(f exercises.Fact) { st.beliefs = append(st.beliefs, exercises.Event{AtS: now, Fact: f}) }
	switch c.Act {
	case exercises.Look:
		add(exercises.Noticed{Words: "As before."})
	case exercises.Ask:
		if c.What == "exertion" {
			add(exercises.ExertionGiven{RPE: 11})
			return
		}
		add(exercises.Said{To: c.What, Words: "Fine."})
	case exercises.Pressure:
		top, heard := 160, "....................tttttttttttttttttttttd......"
		for _, e := range st.eyes().Events {
			if k, ok := e.Fact.(exercises.CuffFell); ok {
				top, heard = k.TopMmHg, k.Heard
			}
		}
		add(exercises.CuffFell{FromS: now, TopMmHg: top, ValveMmHgS: 3, Heard: heard})
	case exercises.Count:
		for i := len(st.eyes().Events) - 1; i >= 0; i-- {
			if k, ok := st.eyes().Events[i].Fact.(exercises.PulseFelt); ok {
				add(exercises.PulseFelt{Site: k.Site, FromS: now, Seconds: k.Seconds, Tenths: k.Tenths})
				return
			}
		}
		add(exercises.PulseFelt{FromS: now, Seconds: 15, Tenths: make([]int, 20)})
	case exercises.Write:
		for _, e := range c.Entries {
			st.notes = append(st.notes, exercises.Item{AtS: now, Key: e.Key, Text: e.Text, Stage: e.Stage, Minute: e.Minute})
		}
	case exercises.Measure, exercises.Saddle:
		what := map[string]string{"mass": "mass_kg", "height": "height_cm", "arm": "arm_cm"}[c.What]
		value := map[string]float64{"mass": 75, "height": 175, "arm": 30}[c.What]
		if c.Act == exercises.Saddle {
			what, value = "knee_deg", 30
		}
		add(exercises.Prepared{Act: c.Act, What: c.What})
		add(exercises.Measured{What: what, Value: value})
	case exercises.Metronome:
		add(exercises.MetronomeSet{CadenceRPM: c.CadenceRPM})
	case exercises.Call:
		add(exercises.Called{Whom: c.What})
	case exercises.Seat:
		add(exercises.Seated{Where: c.What})
	default:
		add(exercises.Prepared{Act: c.Act, What: c.What})
	}
}

// course digests the attempt.
func (st *student) course(t testing.TB) *Course {
	t.Helper()
	c, err := Read(st.header, st.lines)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// charges are the findings of a report that cost points, by rule and place; linked are those whose cause was charged elsewhere.
func charges(r Report) (charged []Finding) {
	for _, f := range r.Findings {
		if f.ChargedTo == "" {
			charged = append(charged, f)
		}
	}
	return charged
}

// line shows a finding in a failure.
func line(f Finding) string {
	return fmt.Sprintf("%s at %s: %s | %s | %s", f.Rule, f.Where, f.Known, f.Did, f.Should)
}

func mustCase(t testing.TB, id string) scenarios.Case {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
