package grader

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A Card is a synthetic person for a test on paper: what a partner says and shows, and when, along the way of the reference proctor; and what comes
// of it when the student branches otherwise or goes on. It tells everything but is for the partner's eyes.
type Card struct {
	Scenario  scenarios.Scenario
	Subject   exercises.Subject
	Mass      float64  // kg, as the scale shows it
	Height    float64  // cm
	Arm       float64  // cm
	Checks    []string // what was read off the equipment before the test
	Rest      []CardRest
	Decided   string // the last decision of the screening
	Stages    []CardStage
	EndedHow  exercises.Act // "" when the test was never begun
	EndedBy   string        // the reason that the reference proctor wrote
	EndedAtS  int           // in the last stage, in seconds
	Recovery  CardStage     // after the end; its number is exercises.RecoveryStage
	Goes      []CardStage   // what comes when the test is not ended there, or is begun all the same
	Other     []CardColumn  // the neighbouring columns of the branch table
	Hand      HandSheet     // the readings of the way, as a sheet
	Worked    protocol.Answer
	Student   StudentEstimate // what the reference proctor wrote
	CountS    int             // length of a count, in seconds
	TrueVO2   float64         // mL/kg/min
	WindowLow unit.HR
	High      unit.HR
	RightAct  scenarios.RightAct
}

// A CardRest is a pair of resting readings.
type CardRest struct {
	Where    string // chair, cycle, lying
	Beats    int
	Seconds  int
	Pressure string // "142/84"; "" when none was read
}

// A CardStage is one stage: what is counted, read, answered and seen in each minute.
type CardStage struct {
	Number     int
	WorkRate   unit.WorkRate
	Resistance unit.Resistance
	Minutes    []CardMinute
	Exertion   int      // 0 when it was not asked
	Checks     []string // what was read off metronome, brake and the like
	Stopped    bool     // the person stopped pedalling of their own accord
}

// A CardMinute is one minute of a stage.
type CardMinute struct {
	Minute   int
	Beats    int     // 0 when there is no count
	Seconds  int     // in which they were counted
	HR       unit.HR // that multiplied
	Pressure string  // "" when none is taken in this minute
	Says     string  // when asked how it feels
	Looks    string  // when looked at
	Unasked  []CardUnasked
}

// A CardUnasked is something said, or seen by whoever faces the person, without being asked for.
type CardUnasked struct {
	AtS   int // within the stage
	Words string
	Said  bool
}

// A CardColumn is what comes when stage 2 is run in another column of the branch table.
type CardColumn struct {
	Band   int // from 0
	Stages []CardStage
}

// NewCard plays the subject's test by the reference proctor and the ways beside it. An error is a fault of ours, never of the subject.
func NewCard(b Rulebook, sc scenarios.Scenario) (Card, error) {
	played, err := Play(b, sc)
	if err != nil {
		return Card{}, err
	}
	state := played.Session.State()
	c := ReadState(b, state)
	k := Card{
		Scenario: sc, Subject: c.Header.Subject, CountS: b.Count.Seconds, Hand: HandSheetOf(b, c), Worked: WorkSheet(b, c), Student: studentEstimate(c),
		TrueVO2: c.Closing.Truth.VO2MaxRel, RightAct: sc.Case.RightAct, WindowLow: b.WindowLow, EndedAtS: -1,
	}
	k.High = protocol.WindowHigh(b.Rules, k.Worked.Ceiling)
	k.measured(c)
	if n := len(c.Screening); n > 0 {
		k.Decided = c.Screening[n-1].What
	}
	if list := written(c, exercises.KeyReason); len(list) > 0 {
		k.EndedBy = list[len(list)-1].Text
	}
	looks := lookedAt(played.Lines)
	k.Stages = cardStages(b, c, looks, false)
	if begun(c) && c.EndedAtS >= 0 {
		k.EndedHow = c.EndedHow
		if n := len(c.Stages); n > 0 {
			k.EndedAtS = c.EndedAtS - c.Stages[n-1].FromS
		}
	}
	if rec := cardStages(b, c, looks, true); len(rec) > 0 {
		k.Recovery = rec[0]
	}
	return k, k.beside(b, sc, played.Lines, c)
}

// measured collects what was read before pedalling.
func (k *Card) measured(c *Course) {
	t := k.Scenario.Traits // as scale and tape show it, also to somebody who measures where the reference proctor had no need to
	k.Mass, k.Height, k.Arm = unit.Round(float64(t.Mass), 1), unit.Round(float64(t.Height), 1), unit.Round(float64(t.Arm), 1)
	where := "chair"
	for _, e := range c.State.Events {
		if begun(c) && e.AtS > c.PedalAtS {
			break
		}
		switch f := e.Fact.(type) {
		case exercises.Seated:
			where = f.Where
		case exercises.Measured:
			k.checked(f)
		case exercises.PulseFelt:
			k.Rest = append(k.Rest, CardRest{Where: where, Beats: len(f.Tenths), Seconds: f.Seconds})
		case exercises.CuffFell:
			if n := len(k.Rest); n > 0 {
				k.Rest[n-1].Pressure = heardText(f)
			}
		}
	}
}

// checked notes what was read off the equipment; the steps of the saddle go together.
func (k *Card) checked(f exercises.Measured) {
	switch f.What {
	case "mass_kg", "height_cm", "arm_cm":
		return
	case "knee_deg":
		if n := len(k.Checks); n > 0 && strings.HasPrefix(k.Checks[n-1], "knee") {
			k.Checks[n-1] += fmt.Sprintf(", then %s°", plainNumber(f.Value))
			return
		}
	}
	k.Checks = append(k.Checks, readOff(f))
}

// heardText is a pressure as a careful listener reads it.
func heardText(f exercises.CuffFell) string {
	s, ok := HeardPressure(f)
	if !ok {
		return ""
	}
	return fmt.Sprintf("%.0f/%.0f", s.Systolic, s.Diastolic)
}

// lookedAt are the seconds at which a look was over.
func lookedAt(lines []exercises.Line) map[int]bool {
	at := map[int]bool{}
	for _, l := range lines {
		if l.Command.Act == exercises.Look {
			at[l.AtS] = true
		}
	}
	return at
}

// cardStages sorts what happened into the stages and their minutes; or, when recovery, what happened after the end.
func cardStages(b Rulebook, c *Course, looks map[int]bool, recovery bool) []CardStage {
	runs := c.Stages
	if recovery {
		if c.EndedAtS < 0 {
			return nil
		}
		runs = []StageRun{{Number: exercises.RecoveryStage, FromS: c.EndedAtS, ToS: lastSecond(c) + 1}}
	}
	var all []CardStage
	for _, run := range runs {
		s := CardStage{Number: run.Number, WorkRate: run.WorkRate, Resistance: run.Resistance}
		minute := func(m int) *CardMinute {
			for len(s.Minutes) < m {
				s.Minutes = append(s.Minutes, CardMinute{Minute: len(s.Minutes) + 1})
			}
			return &s.Minutes[m-1]
		}
		last := max(1, int(math.Round(float64(run.ToS-run.FromS)/60)))
		at := func(second int) *CardMinute { return minute(min(last, (second-run.FromS)/60+1)) }
		for _, e := range c.State.Events {
			if e.AtS < run.FromS || e.AtS > run.ToS || e.AtS == run.ToS && !run.Last || run.Number > 0 && c.EndedAtS >= 0 && e.AtS > c.EndedAtS {
				continue
			}
			switch f := e.Fact.(type) {
			case exercises.PulseFelt:
				if stage, m := c.State.PlaceOf(f.FromS, f.FromS+f.Seconds); !f.CutShort && f.Seconds > 0 && stage == run.Number {
					x := minute(m)
					x.Beats, x.Seconds = len(f.Tenths), f.Seconds
					x.HR = unit.HR(60*float64(len(f.Tenths))) / unit.HR(f.Seconds)
				}
			case exercises.CuffFell:
				if stage, _ := c.State.PlaceOf(f.FromS, e.AtS); stage == run.Number && !f.CutShort {
					if text := heardText(f); text != "" {
						x := at(e.AtS)
						x.Pressure = strings.TrimPrefix(x.Pressure+", again "+text, ", again ")
					}
				}
			case exercises.Measured:
				if text := readOff(f); !slices.Contains(s.Checks, text) {
					s.Checks = append(s.Checks, text)
				}
			case exercises.ExertionGiven:
				s.Exertion = f.RPE
			case exercises.Said:
				switch {
				case f.Unasked:
					x := at(e.AtS)
					x.Unasked = append(x.Unasked, CardUnasked{e.AtS - run.FromS, f.Words, true})
				case f.To == "symptoms":
					at(e.AtS).Says = f.Words
				}
			case exercises.Noticed:
				if !looks[e.AtS] {
					x := at(e.AtS)
					x.Unasked = append(x.Unasked, CardUnasked{e.AtS - run.FromS, f.Words, false})
				} else {
					at(e.AtS).Looks = f.Words
				}
			case exercises.PedallingStopped:
				s.Stopped = s.Stopped || run.Number > 0 && c.EndedAtS != e.AtS && e.AtS < c.EndedAtS
			}
		}
		if run.Number > 0 {
			s.close()
		}
		all = append(all, s)
	}
	return all
}

// close puts what came after the last minute mark, before the load was changed, into the last minute that was counted.
func (s *CardStage) close() {
	n := len(s.Minutes)
	if n < 2 || s.Minutes[n-1].Beats > 0 || s.Minutes[n-2].Beats == 0 {
		return
	}
	over, into := s.Minutes[n-1], &s.Minutes[n-2]
	for _, x := range []struct {
		from string
		to   *string
	}{{over.Pressure, &into.Pressure}, {over.Says, &into.Says}, {over.Looks, &into.Looks}} {
		if x.from != "" {
			*x.to = x.from
		}
	}
	into.Unasked = append(into.Unasked, over.Unasked...)
	s.Minutes = s.Minutes[:n-1]
}
