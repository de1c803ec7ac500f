package exercises

import "kilopond/scenarios"

// An Event is something that happened, in the past tense, as the proctor could know it, with the second at which it happened.
type Event struct {
	AtS  int
	Fact Fact
}

// A Fact is one kind of event. Its wire name carries a version and is never taken from the Go name.
type Fact interface{ wireName() string }

type (
	// Prepared: one of the steps before the test was done.
	Prepared struct {
		Act  Act    `json:"act"`
		What string `json:"what,omitempty"`
	}
	// Said: the person spoke. Unasked speech ends a command early.
	Said struct {
		Words   string `json:"words"`
		To      string `json:"to,omitempty"`    // what was asked: greeting, health, consent, symptoms
		About   string `json:"about,omitempty"` // which health question
		Unasked bool   `json:"unasked,omitempty"`
	}
	// Noticed: the proctor saw something, by looking or because nobody could fail to.
	Noticed struct {
		Words   string `json:"words"`
		Unasked bool   `json:"unasked,omitempty"`
	}
	// Measured: a number was read off something that is not the pulse or the cuff.
	Measured struct {
		What  string  `json:"what"` // mass_kg, height_cm, arm_cm, knee_deg, cadence_rpm, dial_kp, brake_zero_kp, metronome_rpm, weight_kp, cuff_leak_mmhg_s, gauge_zero_mmhg, arm_below_cm
		Value float64 `json:"value"`
	}
	// PulseFelt: a count by the clock. Tenths are the times of the beats felt, in tenths of a second from the count's start.
	PulseFelt struct {
		Site     string `json:"site"`
		FromS    int    `json:"from_s"`
		Seconds  int    `json:"seconds"` // that were counted; fewer than asked when cut short
		Tenths   []int  `json:"tenths"`
		CutShort bool   `json:"cut_short,omitempty"`
	}
	// BeatsTimed: the time that a number of beats took, from a beat called zero, in tenths of a second.
	BeatsTimed struct {
		Site     string `json:"site"`
		FromS    int    `json:"from_s"`
		Beats    int    `json:"beats"`
		Tenths   int    `json:"tenths"`
		CutShort bool   `json:"cut_short,omitempty"`
	}
	// CuffFell: what was heard as the needle passed each mark, 2 mmHg apart, from TopMmHg down. One letter a mark:
	// '.' nothing, 'c' creak of the pedals, 'f' faint tap, 't' tap, 's' swish, 'k' crisp knock, 'd' dull.
	CuffFell struct {
		FromS      int     `json:"from_s"`
		TopMmHg    int     `json:"top_mmhg"`
		ValveMmHgS float64 `json:"valve_mmhg_s"`
		Heard      string  `json:"heard"`
		CutShort   bool    `json:"cut_short,omitempty"`
	}
	// ExertionGiven: the person pointed at the scale.
	ExertionGiven struct {
		RPE   int    `json:"rpe"`
		Words string `json:"words"`
	}
	// Seated: the person took a place: chair, cycle, standing, lying.
	Seated struct {
		Where string `json:"where"`
	}
	// Decided: the proctor's answer to the screening.
	Decided struct {
		What string `json:"what"` // test, rest, postpone, refer, refuse
	}
	// MetronomeSet, ResistanceSet: a dial was turned.
	MetronomeSet struct {
		CadenceRPM float64 `json:"cadence_rpm"`
	}
	ResistanceSet struct {
		ResistanceKp float64 `json:"resistance_kp"`
	}
	PedallingStarted struct{}
	PedallingStopped struct{}
	// StageStarted: the proctor turned the dial and began a stage, numbered from 1.
	StageStarted struct {
		Stage        int     `json:"stage"`
		ResistanceKp float64 `json:"resistance_kp"`
	}
	// Extended: the proctor chose one more minute at the same work rate.
	Extended struct {
		Stage int `json:"stage"`
	}
	// Coached: the person was asked to take up the rhythm again.
	Coached struct{}
	// TestEnded: by CoolDown or Stop.
	TestEnded struct {
		How          Act     `json:"how"` // cooldown or stop
		ResistanceKp float64 `json:"resistance_kp"`
	}
	// HelperSent: a helper was asked for a reading and begins. HelperReported: what a helper says of it; later it may be said again.
	HelperSent struct {
		Task Task `json:"task"`
	}
	HelperReported struct {
		Task      Task   `json:"task"`
		FromS     int    `json:"from_s"`
		ToS       int    `json:"to_s"`
		Words     string `json:"words"`
		Again     bool   `json:"again,omitempty"` // said once more, when asked
		Beats     int    `json:"beats,omitempty"`
		Seconds   int    `json:"seconds,omitempty"`
		TopMmHg   int    `json:"top_mmhg,omitempty"`
		Systolic  int    `json:"systolic_mmhg,omitempty"` // 0: could not be read
		Diastolic int    `json:"diastolic_mmhg,omitempty"`
	}
	// MonitorShown: the number on the display; 0 when there was none.
	MonitorShown struct {
		HRbpm int `json:"hr_bpm"`
	}
	Called struct {
		Whom string `json:"whom"`
	}
	// Left: nobody was with the person for so many seconds.
	Left struct {
		Seconds int `json:"seconds"`
	}
	Released struct{}
	// Written, Struck: the sheet.
	Written struct {
		Item   int    `json:"item"`
		Key    Key    `json:"key"`
		Text   string `json:"text"`
		Stage  int    `json:"stage"`
		Minute int    `json:"minute"`
	}
	Struck struct {
		Item int `json:"item"`
	}
	// HandedIn closes the attempt and appends the truth, so that a later model can still grade it.
	HandedIn struct {
		Truth   scenarios.Truth `json:"truth"`
		Minutes []MinuteTruth   `json:"minutes"`
		Counts  []CountTruth    `json:"counts"`
		Cuffs   []CuffTruth     `json:"cuffs"`
		Signs   []SignSpan      `json:"signs"`
	}
)

type (
	// A MinuteTruth is the perfect reading of a minute of a stage: mean true heart rate over the last 15 s, pressures at the mark.
	MinuteTruth struct {
		Stage   int     `json:"stage"`
		Minute  int     `json:"minute"`
		AtS     int     `json:"at_s"` // the minute mark
		HRbpm   float64 `json:"hr_bpm"`
		SBPmmHg float64 `json:"sbp_mmhg"`
		DBPmmHg float64 `json:"dbp_mmhg"`
		Cadence float64 `json:"cadence_rpm"` // mean of the minute
		WorkKgm float64 `json:"work_rate_kgm_min"`
	}
	// A CountTruth is the mean true heart rate within the window of one count.
	CountTruth struct {
		FromS int     `json:"from_s"`
		HRbpm float64 `json:"hr_bpm"`
	}
	// A CuffTruth is the true pressure, mean over the deflation.
	CuffTruth struct {
		FromS   int     `json:"from_s"`
		SBPmmHg float64 `json:"sbp_mmhg"`
		DBPmmHg float64 `json:"dbp_mmhg"`
	}
	// A SignSpan is a sign's presence at one grade or above, by channel, in whole seconds, ToS exclusive.
	SignSpan struct {
		Sign    string `json:"sign"`
		Channel string `json:"channel"`
		Grade   int    `json:"grade"` // highest reached
		FromS   int    `json:"from_s"`
		ToS     int    `json:"to_s"`
	}
)
