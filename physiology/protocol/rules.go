package protocol

import "kilopond/physiology/unit"

// Rules is the arithmetic and timing part of a rulebook: everything of the protocol on which printed versions differ.
//
// Field names on the wire carry their units. The settings met in print are listed beside each type below; Default holds ours.
type Rules struct {
	Bands          []Band          `json:"bands" yaml:"bands"`
	FirstWorkRate  unit.WorkRate   `json:"first_work_rate_kgm_min" yaml:"first_work_rate_kgm_min"`
	StepAfterTable unit.WorkRate   `json:"step_after_table_kgm_min" yaml:"step_after_table_kgm_min"`
	BranchHR       StageHRRule     `json:"branch_hr" yaml:"branch_hr"` // which heart rate chooses the band
	Cadence        unit.Cadence    `json:"cadence_rpm" yaml:"cadence_rpm"`
	WarmUpS        int             `json:"warm_up_s" yaml:"warm_up_s"`
	StageS         int             `json:"stage_s" yaml:"stage_s"`
	ExtensionS     int             `json:"extension_s" yaml:"extension_s"`
	MaxExtensions  int             `json:"max_extensions" yaml:"max_extensions"`
	Steady         SteadyRule      `json:"steady" yaml:"steady"`
	StageHR        StageHRRule     `json:"stage_hr" yaml:"stage_hr"`
	MaxHR          MaxHREquation   `json:"max_hr" yaml:"max_hr"`
	Ceiling        CeilingRule     `json:"ceiling" yaml:"ceiling"`
	End            EndRule         `json:"end" yaml:"end"`
	WindowLow      unit.HR         `json:"window_low_bpm" yaml:"window_low_bpm"`
	WindowHigh     WindowHighRule  `json:"window_high" yaml:"window_high"`
	StagesNeeded   int             `json:"qualifying_stages" yaml:"qualifying_stages"`
	SmallestRise   unit.HR         `json:"smallest_rise_bpm" yaml:"smallest_rise_bpm"` // a rise must exceed this
	Fit            Fit             `json:"fit" yaml:"fit"`
	OnePoint       OnePointRule    `json:"one_point" yaml:"one_point"`
	O2Cost         O2Cost          `json:"o2_cost" yaml:"o2_cost"`
	KgmMinPerWatt  float64         `json:"kgm_min_per_w" yaml:"kgm_min_per_w"`
	Norms          string          `json:"norms" yaml:"norms"`
	ErrorRange     float64         `json:"error_range_percent" yaml:"error_range_percent"`
	Count          CountRule       `json:"count" yaml:"count"`
	Pressure       PressureRule    `json:"pressure" yaml:"pressure"`
	Screening      ScreeningLimits `json:"screening" yaml:"screening"`
	Stop           StopLimits      `json:"stop" yaml:"stop"`
	CoolDown       CoolDownRule    `json:"cool_down" yaml:"cool_down"`
	Crew           string          `json:"crew" yaml:"crew"` // solo, pulse_helper, pressure_helper or both
}

// A Band is one row of the branch table: which first-stage heart rates it takes, and the work rates of the stages from the second on.
// Exactly one of Below and UpTo is set, except in the last band, which takes the rest.
type Band struct {
	Below     unit.HR         `json:"below_bpm,omitempty" yaml:"below_bpm,omitempty"`
	UpTo      unit.HR         `json:"up_to_bpm,omitempty" yaml:"up_to_bpm,omitempty"`
	WorkRates []unit.WorkRate `json:"work_rates_kgm_min" yaml:"work_rates_kgm_min"`
	HowKnown  string          `json:"how_known,omitempty" yaml:"how_known,omitempty"` // shown when it is not a printed row
}

type (
	// A SteadyRule says when two consecutive minutes agree: le5, lt5, le6, or one_beat (within one beat of the count).
	SteadyRule string
	// A StageHRRule says which heart rate stands for a stage: mean_last_two or last.
	StageHRRule string
	// A MaxHREquation is named as printed: 220-age, 208-0.7age, 206.9-0.67age, 211-0.64age, 202-0.72age, 206-0.88age, sydo.
	MaxHREquation string
	// An EndRule says when the test ends by heart rate: at_85 (at or above the ceiling) or within10 (steady within 10 bpm of it).
	EndRule string
	// A WindowHighRule is the highest heart rate that may enter the line: ceiling, or a fixed rate as fixed150.
	WindowHighRule string
	// A Fit is how the line is drawn: two_last, ols (heart rate on work rate), ols_work_on_hr.
	Fit string
	// A OnePointRule says what a single qualifying stage gives: single_stage (low confidence) or none.
	OnePointRule string
	// An O2Cost is the oxygen cost of leg cycling: leg_1.8_7, leg_2.0_3.5, leg_2.0_300.
	O2Cost string
)

// A CeilingRule is the heart rate at which the test stops: a fraction of predicted maximum, of reserve, or a fixed rate.
type CeilingRule struct {
	Of       string  `json:"of" yaml:"of"` // max_hr, reserve or fixed
	Fraction float64 `json:"fraction,omitempty" yaml:"fraction,omitempty"`
	Fixed    unit.HR `json:"fixed_bpm,omitempty" yaml:"fixed_bpm,omitempty"`
}

// A CountRule is how the pulse is counted and when.
type CountRule struct {
	Seconds   int    `json:"seconds" yaml:"seconds"`       // 10, 15 or 30
	FirstBeat string `json:"first_beat" yaml:"first_beat"` // zero or one, for a count that starts on a beat
	Every     int    `json:"every_minutes" yaml:"every_minutes"`
	From      int    `json:"from_minute,omitempty" yaml:"from_minute,omitempty"` // the first minute of a stage whose pulse is due; 0 is Every
	BeforeS   int    `json:"begin_before_s" yaml:"begin_before_s"`               // a count for a minute mark begins at most this long before it
	AfterS    int    `json:"end_after_s" yaml:"end_after_s"`                     // and ends at most this long after it
	Monitor   bool   `json:"monitor,omitempty" yaml:"monitor,omitempty"`         // a monitor's display may be read; the count is what is graded
}

// First is the first minute of a stage whose pulse is due.
func (c CountRule) First() int {
	if c.From > 0 {
		return c.From
	}
	return max(1, c.Every)
}

// A PressureRule is the schedule and the technique of pressures.
type PressureRule struct {
	EveryStages    int           `json:"every_stages" yaml:"every_stages"`
	FromS          int           `json:"from_s" yaml:"from_s"` // window within the stage: from here to the stage's end
	ValveLow       float64       `json:"valve_low_mmhg_s" yaml:"valve_low_mmhg_s"`
	ValveHigh      float64       `json:"valve_high_mmhg_s" yaml:"valve_high_mmhg_s"`
	RepeatAfterS   int           `json:"repeat_after_s" yaml:"repeat_after_s"`
	DiastolicPhase string        `json:"diastolic_phase" yaml:"diastolic_phase"` // V, IV or both
	PumpAbove      unit.Pressure `json:"pump_above_mmhg" yaml:"pump_above_mmhg"` // above the last systolic
}

// ScreeningLimits are the resting values that postpone or refuse a test.
type ScreeningLimits struct {
	RestS           int           `json:"rest_s" yaml:"rest_s"`
	PostponeHR      unit.HR       `json:"postpone_above_hr_bpm" yaml:"postpone_above_hr_bpm"`
	PostponeSBP     unit.Pressure `json:"postpone_from_sbp_mmhg" yaml:"postpone_from_sbp_mmhg"`
	PostponeDBP     unit.Pressure `json:"postpone_from_dbp_mmhg" yaml:"postpone_from_dbp_mmhg"`
	RefuseSBP       unit.Pressure `json:"refuse_above_sbp_mmhg" yaml:"refuse_above_sbp_mmhg"`
	RefuseDBP       unit.Pressure `json:"refuse_above_dbp_mmhg" yaml:"refuse_above_dbp_mmhg"`
	RepeatWhenHigh  bool          `json:"repeat_when_high" yaml:"repeat_when_high"`
	RepeatAfterS    int           `json:"repeat_after_s" yaml:"repeat_after_s"`
	SymptomsRefused bool          `json:"refuse_with_symptoms" yaml:"refuse_with_symptoms"`
	OddBeats        float64       `json:"postpone_above_odd_beats_per_min" yaml:"postpone_above_odd_beats_per_min"` // early or missing
}

// StopLimits are the values that end a test and how soon a proctor must act.
type StopLimits struct {
	SystolicFall   unit.Pressure `json:"systolic_fall_mmhg" yaml:"systolic_fall_mmhg"` // below the last stage: verify; confirmed, or below rest: end
	SystolicMax    unit.Pressure `json:"above_sbp_mmhg" yaml:"above_sbp_mmhg"`
	DiastolicMax   unit.Pressure `json:"above_dbp_mmhg" yaml:"above_dbp_mmhg"`
	OddBeats       float64       `json:"odd_beats_per_min" yaml:"odd_beats_per_min"` // early or missing; more: verify; confirmed: end
	LeastRise      unit.HR       `json:"least_rise_bpm" yaml:"least_rise_bpm"`       // from one load to the next; not more: verify; confirmed: end
	AskRPE         unit.RPE      `json:"ask_from_rpe" yaml:"ask_from_rpe"`
	CadenceLostS   int           `json:"cadence_lost_s" yaml:"cadence_lost_s"`
	EmergencyFullS int           `json:"emergency_full_credit_s" yaml:"emergency_full_credit_s"`
	EmergencyMissS int           `json:"emergency_missed_after_s" yaml:"emergency_missed_after_s"`
	VerifyBeginS   int           `json:"verify_begin_s" yaml:"verify_begin_s"`
	VerifyDoneS    int           `json:"verify_done_s" yaml:"verify_done_s"`
	LookEveryS     int           `json:"look_every_s" yaml:"look_every_s"`
}

// CoolDownRule is active recovery and the values at which the person may be let go.
type CoolDownRule struct {
	MaxResistance unit.Resistance `json:"max_resistance_kp" yaml:"max_resistance_kp"`
	ActiveS       int             `json:"active_s" yaml:"active_s"`
	WatchS        int             `json:"watch_s" yaml:"watch_s"` // in all, active and seated
	HREveryS      int             `json:"hr_every_s" yaml:"hr_every_s"`
	Pressures     int             `json:"pressures" yaml:"pressures"` // at least this many in recovery
	ReleaseHR     unit.HR         `json:"release_hr_bpm" yaml:"release_hr_bpm"`
}
