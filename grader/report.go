package grader

import (
	"kilopond/exercises"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// A Report is the verdict on one attempt. It holds no student's name, path or wall time, so the same attempt always gives the same bytes.
type Report struct {
	Model        int               `json:"model"`
	Case         string            `json:"case"`
	Seed         scenarios.Seed    `json:"seed"`
	Subject      exercises.Subject `json:"subject"` // as the appointment list has it
	RulebookHash string            `json:"rulebook_hash"`
	Mode         string            `json:"mode"`
	Coached      bool              `json:"coached,omitempty"` // practice: a coach said what was due
	Redone       bool              `json:"redone,omitempty"`  // practice: the beginning is that of an earlier attempt
	OfPack       bool              `json:"of_pack,omitempty"` // assigned: no seed brings this person again
	Parts        []PartScore       `json:"parts"`
	Percent      *float64          `json:"percent"` // of the points that could be reached
	Gate         []string          `json:"gate_closed"`
	Passed       bool              `json:"passed"`
	Timeline     []Moment          `json:"timeline"`
	Findings     []Finding         `json:"findings"`
	Practise     *Practice         `json:"practise"` // nil when nothing was found
	Good         []string          `json:"good"`
	Slips        []Slip            `json:"slips"`
	Sheet        []SheetEntry      `json:"sheet"`
	Record       Record            `json:"record"`
	Student      StudentEstimate   `json:"student"`
	Worked       protocol.Answer   `json:"worked_answer"`  // on the student's own sheet
	Perfect      protocol.Answer   `json:"perfect_answer"` // on perfect readings of the same path
	Margins      Margins           `json:"margins"`
	Split        *Split            `json:"split,omitempty"` // of T, when one report is opened; see WithSplit
	Truth        *scenarios.Truth  `json:"truth"`           // nil until handed in
	Notes        []string          `json:"notes"`
}

// A PartScore is the points of one part: its weight, what could be reached on this path, what was earned.
type PartScore struct {
	Part      Part    `json:"part"`
	Weight    float64 `json:"weight"`
	Reachable float64 `json:"reachable"`
	Earned    float64 `json:"earned"`
}

// A Moment is one row of the time line.
type Moment struct {
	AtS   int    `json:"at_s"`
	Where string `json:"where"`
	Kind  Kind   `json:"kind"`
	Seen  string `json:"seen"`
	Done  string `json:"done"`
	Could string `json:"could"` // what else was acceptable, or what should have been done; empty when nothing is to be added
}

// A Kind sorts the rows of the time line by how they came about.
type Kind string

const (
	KindDone     Kind = "done"     // the proctor did something
	KindRead     Kind = "read"     // a reading
	KindLooked   Kind = "looked"   // seen by looking
	KindShowed   Kind = "showed"   // nobody could fail to notice it
	KindAnswered Kind = "answered" // said when asked
	KindSaid     Kind = "said"     // said unasked
	KindCould    Kind = "could"    // what could have been done
)

// A StudentEstimate is the calculation as the student wrote it; nil where nothing was written.
type StudentEstimate struct {
	Points      string   `json:"points"`
	MaxHR       *float64 `json:"predicted_max_hr_bpm"`
	Ceiling     *float64 `json:"ceiling_hr_bpm"`
	Slope       *float64 `json:"slope_bpm_per_kgm_min"`
	MaxWorkRate *float64 `json:"max_work_rate_kgm_min"`
	VO2Abs      *float64 `json:"vo2max_l_min"`
	VO2Rel      *float64 `json:"vo2max_ml_kg_min"`
	METs        *float64 `json:"mets"`
	Rating      string   `json:"rating"`
	ErrorRange  *float64 `json:"error_range_percent"`
	NoEstimate  string   `json:"no_estimate"`
}

// Margins are three and never mixed, signed, first minus second; nil with the reason where not estimable.
type Margins struct {
	A Margin `json:"a"` // student's estimate against the worked answer on the same sheet
	M Margin `json:"m"` // worked answer on the sheet against the worked answer on perfect readings of the same path
	T Margin `json:"t"` // student's estimate against the subject's true VO2max
}

// A Margin is a signed distance in mL/kg/min and in percent of the second value.
type Margin struct {
	MlKgMin *float64 `json:"ml_kg_min"`
	Percent *float64 `json:"percent"`
	WhyNot  string   `json:"why_not,omitempty"`
}

// A Slip is a known error of calculation recognised in a number that the student wrote.
type Slip struct {
	Item  string `json:"item"`  // the sheet key
	Wrote string `json:"wrote"` //
	Right string `json:"right"` // on the student's own numbers
	Name  string `json:"name"`  // "read at 85 % instead of the maximum"
	How   string `json:"how"`   // the slip worked, so that it can be checked
}
