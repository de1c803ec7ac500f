package exercises

// A Key names a box on the data sheet. Raw count and rate are apart, so that multiplying is the student's.
type Key string

const (
	// Who, and worked out beforehand.
	KeyAge          Key = "age_y"
	KeyMass         Key = "mass_kg"
	KeyHeight       Key = "height_cm"
	KeyArm          Key = "arm_cm"
	KeyMaxHR        Key = "max_hr_bpm"
	KeyCeiling      Key = "ceiling_bpm"
	KeyCeilingCount Key = "ceiling_count" // the ceiling as a count of beats in the house's counting time
	KeyBandCounts   Key = "band_counts"   // the band limits as counts, apart by blanks

	// Readings, each with its stage (0 = at rest, RecoveryStage = after the test) and minute.
	KeyBeats      Key = "beats" // raw count
	KeyHR         Key = "hr_bpm"
	KeyBP         Key = "bp_mmhg" // systolic/diastolic as 148/72; three numbers as 178/70/0
	KeyRPE        Key = "rpe"
	KeyCadence    Key = "cadence_rpm"
	KeyResistance Key = "resistance_kp"
	KeySymptoms   Key = "symptoms"
	KeyReason     Key = "reason"    // for ending
	KeyHandOver   Key = "hand_over" // what was said to those who came, in a sentence

	// The calculation.
	KeyPoints      Key = "points" // stages used, apart by blanks
	KeySlope       Key = "slope"  // bpm per kg·m/min
	KeyMaxWorkRate Key = "max_work_rate_kgm_min"
	KeyVO2Abs      Key = "vo2max_l_min"
	KeyVO2Rel      Key = "vo2max_ml_kg_min"
	KeyMETs        Key = "mets"
	KeyRating      Key = "rating"
	KeyErrorRange  Key = "error_range_percent"
	KeyNoEstimate  Key = "no_estimate" // why it cannot be estimated
)

// RecoveryStage is the stage number of readings after the test has ended.
const RecoveryStage = -1

// An Item is one line on the sheet with its number from 1; a struck item stays legible.
type Item struct {
	Number int
	AtS    int
	Key    Key
	Text   string
	Stage  int // 0 at rest or before the first stage, RecoveryStage after the end
	Minute int // from 1 within the stage or within recovery; 0 at rest
	Struck bool
}
