package scenarios

import (
	"kilopond/physiology/body"
	"kilopond/physiology/unit"
)

// A Case describes many people by ranges: who may walk in, what they tell, what is true, what goes wrong, the right act, what it teaches.
type Case struct {
	ID         string     `json:"id" yaml:"id"`
	Title      string     `json:"title" yaml:"title"`     // neutral: may be shown to a student before the test
	Spoiler    string     `json:"spoiler" yaml:"spoiler"` // what it is about, in one line
	Teaches    string     `json:"teaches" yaml:"teaches"`
	Note       string     `json:"note,omitempty" yaml:"note,omitempty"`             // to the instructor
	Difficulty int        `json:"difficulty" yaml:"difficulty"`                     // 1 to 5
	Competency []string   `json:"competency,omitempty" yaml:"competency,omitempty"` // decisions that it practises, of Competencies; see Practises
	RightAct   RightAct   `json:"right_act" yaml:"right_act"`
	Who        Who        `json:"who" yaml:"who"`
	Person     string     `json:"person,omitempty" yaml:"person,omitempty"` // cases of one key bring the same person for the same seed
	Since      *Since     `json:"since,omitempty" yaml:"since,omitempty"`   // what has changed in that person
	Names      []Name     `json:"names" yaml:"names"`
	Health     []Answer   `json:"health" yaml:"health"`
	Reasons    []Reason   `json:"reasons,omitempty" yaml:"reasons,omitempty"` // one is drawn: what differs between the people of this case
	Voice      Voice      `json:"voice" yaml:"voice"`
	Ills       []body.Ill `json:"ills,omitempty" yaml:"ills,omitempty"`
	Minimises  bool       `json:"minimises,omitempty" yaml:"minimises,omitempty"` // waves a first question away, answers a second
	Disagrees  bool       `json:"disagrees,omitempty" yaml:"disagrees,omitempty"` // says that all is well while what is seen says otherwise
	Room       *Room      `json:"room,omitempty" yaml:"room,omitempty"`           // what is wrong with the equipment
	Sources    []string   `json:"sources" yaml:"sources"`                         // keys of physiology/SOURCES.md
	Hash       string     `json:"-" yaml:"-"`                                     // SHA-256 of the file as read
	File       string     `json:"-" yaml:"-"`                                     // the file as read, so that a pack can carry a case of one's own
}

// A RightAct is what a good proctor does with this person.
type RightAct string

const (
	RunToEnd     RightAct = "run_to_end"
	DoNotTest    RightAct = "do_not_test" // postpone, refer or refuse; Screening says which are acceptable
	EndTest      RightAct = "end_test"
	StopAtOnce   RightAct = "stop_at_once"
	VerifyThenGo RightAct = "verify_then_go"
)

// A Range is an interval from which a value is drawn evenly; equal ends fix it.
type Range struct {
	Low  float64 `json:"low" yaml:"low"`
	High float64 `json:"high" yaml:"high"`
}

// Who bounds the people that the case may bring in. A nil range leaves the trait to the population.
type Who struct {
	Sexes     []unit.Sex `json:"sexes" yaml:"sexes"`
	AgeY      Range      `json:"age_y" yaml:"age_y"`
	FitnessZ  *Range     `json:"fitness_z,omitempty" yaml:"fitness_z,omitempty"` // SDs about the norm of age and sex
	BuildZ    *Range     `json:"build_z,omitempty" yaml:"build_z,omitempty"`     // SDs of ln BMI
	RestHR    *Range     `json:"resting_hr_bpm,omitempty" yaml:"resting_hr_bpm,omitempty"`
	RestSBP   *Range     `json:"resting_sbp_mmhg,omitempty" yaml:"resting_sbp_mmhg,omitempty"`
	RestDBP   *Range     `json:"resting_dbp_mmhg,omitempty" yaml:"resting_dbp_mmhg,omitempty"`
	NervesBpm *Range     `json:"nerves_bpm,omitempty" yaml:"nerves_bpm,omitempty"`
	Active    *bool      `json:"active,omitempty" yaml:"active,omitempty"`

	Artery     Sounding `json:"artery,omitempty" yaml:"artery,omitempty"`                                         // how it sounds under a cuff, where that is not left to chance
	ArmCM      *Range   `json:"arm_cm,omitempty" yaml:"arm_cm,omitempty"`                                         // girth of the mid-arm
	MaxHRAbove *Range   `json:"max_hr_above_predicted_bpm,omitempty" yaml:"max_hr_above_predicted_bpm,omitempty"` // true maximum minus 220 − age
	SettlingZ  *Range   `json:"settling_z,omitempty" yaml:"settling_z,omitempty"`                                 // SDs of how slowly the heart rate settles
	Drift      *Range   `json:"drift_bpm_min,omitempty" yaml:"drift_bpm_min,omitempty"`                           // creep of the rate at one load
	FirstStage *Range   `json:"first_stage_hr_bpm,omitempty" yaml:"first_stage_hr_bpm,omitempty"`                 // true rate in the last 15 s of three minutes at 150 kg·m/min
}

// A Sounding is how the artery of everybody in a case sounds.
type Sounding string

const (
	SilentGap    Sounding = "silent_gap"     // the sounds stay away for a stretch, and come again
	SoundsToZero Sounding = "sounds_to_zero" // at work they run on to nothing
	AsInTheBook  Sounding = "as_in_the_book"
)

// Since is what has changed in a person who comes again.
type Since struct {
	Weeks  int    `json:"weeks" yaml:"weeks"`
	VO2Max Range  `json:"vo2max_percent" yaml:"vo2max_percent"`                     // of the earlier VO2max, added
	RestHR *Range `json:"resting_hr_bpm,omitempty" yaml:"resting_hr_bpm,omitempty"` // added
}

// A Name is an invented person's name and work.
type Name struct {
	Name string   `json:"name" yaml:"name"`
	Sex  unit.Sex `json:"sex" yaml:"sex"`
	Work string   `json:"work" yaml:"work"`
}

// An Answer is what the person says to one health question.
type Answer struct {
	Question string   `json:"question" yaml:"question"`             // key of questions.go
	Says     []string `json:"says" yaml:"says"`                     // one is drawn
	Flag     bool     `json:"flag,omitempty" yaml:"flag,omitempty"` // a careful proctor does not go on without more
}

// A Reason is one of several things that may be the matter with the people of a case: its answers replace those of the same questions.
type Reason struct {
	Health  []Answer `json:"health" yaml:"health"`
	RestHR  *Range   `json:"resting_hr_bpm,omitempty" yaml:"resting_hr_bpm,omitempty"`
	RestSBP *Range   `json:"resting_sbp_mmhg,omitempty" yaml:"resting_sbp_mmhg,omitempty"`
	RestDBP *Range   `json:"resting_dbp_mmhg,omitempty" yaml:"resting_dbp_mmhg,omitempty"`
	Looks   []string `json:"looks,omitempty" yaml:"looks,omitempty"`
}

// Voice is how the person speaks: lines for a greeting, for effort, and for each sign by grade. One of each list is drawn.
type Voice struct {
	Greeting []string            `json:"greeting" yaml:"greeting"`
	Consent  []string            `json:"consent" yaml:"consent"`
	Looks    []string            `json:"looks" yaml:"looks"`                             // what is seen on walking in
	Talk     map[string][]string `json:"talk,omitempty" yaml:"talk,omitempty"`           // own answers to "how do you feel?" by effort, in turn with those of anybody
	TalkOnly bool                `json:"talk_only,omitempty" yaml:"talk_only,omitempty"` // nobody else's words fit this person
	Signs    map[string][]string `json:"signs,omitempty" yaml:"signs,omitempty"`         // "chest_discomfort/unasked/3": lines
}
