package body

// A Channel is how a sign can reach the proctor.
type Channel string

const (
	Unasked Channel = "unasked" // speech, a cough, slumping: nobody could fail to notice it
	Seen    Channel = "seen"    // visible whenever the proctor faces the person
	Found   Channel = "found"   // only by asking or measuring
)

// A Sign names what is present, for the truth and the grader; a proctor only ever meets its words.
type Sign string

const (
	ChestDiscomfort  Sign = "chest_discomfort"
	Lightheaded      Sign = "lightheaded"
	Pallor           Sign = "pallor"
	PressureFall     Sign = "pressure_fall"   // systolic falls while work rises; found by cuff only
	CadenceLost      Sign = "cadence_lost"    // cannot hold the rhythm
	AskedToStop      Sign = "asked_to_stop"   // said it wants to stop
	SevereExertion   Sign = "severe_exertion" // close to the end of what the person can do
	BreathlessAtRest Sign = "breathless_rest" // before the test
	UnwellToday      Sign = "unwell_today"    // before the test
	HighRestPressure Sign = "high_rest_pressure"
	IrregularPulse   Sign = "irregular_pulse" // early or dropped beats, or no rhythm at all; found by fingers only
	RateFlat         Sign = "rate_flat"       // heart rate does not follow the work; found by counting only
	PressureHigh     Sign = "pressure_high"   // systolic far above what the work explains; found by cuff only
	DiastolicRise    Sign = "diastolic_rise"  // found by cuff only
	LegPain          Sign = "leg_pain"        // of narrowed arteries: one side, with effort
	KneePain         Sign = "knee_pain"
	Wheeze           Sign = "wheeze"     // also a cough; seen stands for heard when near
	Breathless       Sign = "breathless" // out of proportion to the effort
	ColdSweat        Sign = "cold_sweat"
	Shaky            Sign = "shaky"    // tremor
	Confused         Sign = "confused" // odd answers
	Nausea           Sign = "nausea"
	Overheated       Sign = "overheated"
	Harmless         Sign = "harmless" // may worry a beginner and means nothing
)

// A Symptom is a sign present in this second.
type Symptom struct {
	Sign    Sign
	Grade   int // 1 just noticeable … 4 cannot be borne
	Channel Channel
}

// Signs lists every sign.
func Signs() []Sign {
	return []Sign{
		ChestDiscomfort, Lightheaded, Pallor, PressureFall, CadenceLost, AskedToStop, SevereExertion,
		BreathlessAtRest, UnwellToday, HighRestPressure,
		IrregularPulse, RateFlat, PressureHigh, DiastolicRise, LegPain, KneePain, Wheeze, Breathless,
		ColdSweat, Shaky, Confused, Nausea, Overheated, Harmless,
	}
}
