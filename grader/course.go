package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// A Course is one attempt digested for the rules: what was prepared, measured, written, decided and when, and what was so.
// All times are whole seconds since the encounter began.
type Course struct {
	Header exercises.Header
	State  *exercises.State

	Prepared  []Step     // in order, each time it was done
	Asked     []Step     // health, consent, exertion, symptoms
	Looks     []int      // seconds at which the proctor looked or faced the person
	Screening []Step     // decisions, in order
	Counts    []Count    // all pulse readings
	Cuffs     []CuffTake // all pressures
	Exertions []Exertion //
	Stages    []StageRun //
	Coached   []int      //
	Called    []Step     //
	Seats     []Step     // places taken, in order
	LeftAtS   []int      // seconds from which nobody was with the person

	PedalAtS    int // −1 when never
	EndedAtS    int // −1 when never
	EndedHow    exercises.Act
	EndedKp     unit.Resistance
	StoppedAtS  int // pedals stopped, −1 when never
	ReleasedAtS int // −1 when never

	Closing exercises.HandedIn // truth, perfect readings, signs

	// While it is graded under one rulebook, what every rule of the calculation would else work again.
	worked *protocol.Answer
	sums   map[exercises.Key]sum
	doubts map[string][]pulseDoubt // by cause
}

// A Step is something done or asked at a time.
type Step struct {
	Act  exercises.Act
	What string
	AtS  int
}

// A Count is one pulse reading with what the student wrote of it.
type Count struct {
	FromS, ToS    int
	KnownS        int // when the student had it: of a helper's count, when it was reported
	Seconds       int // counted
	Timed         bool
	Beats         int     // felt within the window, or timed
	Odd           int     // gaps between them that did not fit; 0 of a count that was timed or reported
	HR            unit.HR // what the beats felt give, multiplied properly
	Stage, Minute int
	CutShort      bool
	Helped, Again bool // a helper counted; and was asked again
	WroteBeats    *int
	WroteHR       *unit.HR
	True          unit.HR
}

// Reading is the heart rate that the student went by: the written rate, else what was felt.
func (c Count) Reading() unit.HR {
	if c.WroteHR != nil {
		return *c.WroteHR
	}
	return c.HR
}

// A CuffTake is one deflation with what was heard and what was written of it.
type CuffTake struct {
	FromS, ToS                  int
	KnownS                      int // when the student had it: of a helper's reading, when it was reported
	Top                         int
	Valve                       float64
	Heard                       string
	Systolic, Diastolic         unit.Pressure // of the sounds heard
	Sounded                     bool          // sounds were heard and the first was below the top
	Stage, Minute               int
	CutShort                    bool
	Helped                      bool // a helper took it
	WroteSystolic               *unit.Pressure
	WroteDiastolic              *unit.Pressure
	TrueSystolic, TrueDiastolic unit.Pressure
}

// An Exertion is a rating given.
type Exertion struct {
	AtS   int
	RPE   unit.RPE
	Stage int
}

// A StageRun is one stage as it was run. ToS is the second at which the load was next changed or the test ended.
type StageRun struct {
	Number     int
	FromS, ToS int
	Resistance unit.Resistance // set on the dial at the start
	WorkRate   unit.WorkRate   // at the rulebook's cadence
	Changes    []LoadChange    // dial turned within the stage
	Extensions []int           // seconds
	Last       bool            // the test ended in or at the end of it
}

// A LoadChange is the dial turned within a stage.
type LoadChange struct {
	AtS        int
	Resistance unit.Resistance
}

// leftOpen says whether the attempt was left before it was handed in: what was so is not known yet.
func (c *Course) leftOpen() bool { return c.State != nil && !c.State.Closed }
